import { addDays } from '../../../domain/calendar.ts'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { dueInspections } from '../../../domain/water/inspection.ts'
import { saturatedVolumeM3 } from '../../../domain/water/sand/storage.ts'
import { saturatedAreaM2 } from '../../../domain/water/sand/survey-volume.ts'
import { throwbackM } from '../../../domain/water/sand/wedge-volume.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { weirsWithChamber } from '../chamber/store.ts'
import { coverSentences } from '../cover/words.ts'
import { droughtState } from '../drought/state.ts'
import { listInspections } from '../inspection/store.ts'
import { listReadings } from '../level/store.ts'
import { fallWords } from '../loss/words.ts'
import { bodyOf, levelsOf, probeCount } from '../sand/description.ts'
import { listSurveys } from '../sand/description-store.ts'
import { longPicture, sectionPictures } from '../sand/section-picture.ts'
import { stateOr404 } from '../storage/found.ts'
import { missingForReserve, type WaterState, waterStates } from '../storage/state.ts'
import { restToday } from '../stream/rest-state.ts'
import { boardRows } from '../table/pages.ts'
import { weirOr404 } from '../weir/found.ts'
import { streamPicture } from './picture-state.ts'

const SHOWN_READINGS = 12

/** All weirs together, and one weir with all that is known of it. */
export function addOverviewPages({ get }: Pages): void {
  get('/water', 'water.see', showWater)
  get('/water/weirs/:id', 'water.see', showWeir)
  get('/water/lines/sand/:id/:surveyId', 'water.see', showSurvey)
}

async function showWater(desk: Desk) {
  const states = await waterStates(desk.db, { on: desk.today })
  return page(desk, 'water/overview/water', {
    title: 'water.title',
    states: states.map(shown),
    picture: streamPicture(states),
    watch: await daysAhead(desk),
    chambers: await weirsWithChamber(desk.db, desk.today),
    cautions: ['water.caution-flood', 'water.caution-chamber', 'water.caution-untreated'],
  })
}

/** What the water page says of the days ahead, and what people should look at. */
async function daysAhead(desk: Desk) {
  const { db, today } = desk
  const { inForce, proposed } = await droughtState(db, today)
  return {
    covers: await coverSentences(desk),
    drought: { inForce, proposed },
    restToday: await restToday(desk),
    ...dueInspections({ inspections: await listInspections(db), today }),
  }
}

function shown(state: WaterState) {
  return {
    ...state,
    missingForReserve: missingForReserve(state),
    isBelowReserve: isBelowReserve(state),
    keepUntilOn: state.reserve && addDays(state.on, state.reserve.days),
  }
}

/** Said by the likely figure: even that does not carry people and animals to the rain. */
function isBelowReserve({ storage, reserve }: WaterState): boolean {
  return !storage.cannotSay && reserve !== null && storage.available.likelyM3 < reserve.reserveM3
}

async function showWeir(desk: Desk<'id'>) {
  const state = await stateOr404(desk)
  const { weir, body, survey } = state
  const surveys = (await listSurveys(desk.db, weir.id)).reverse()
  return page(desk, 'water/overview/weir', {
    title: 'water.weir.heading',
    titleValues: { number: weir.number, name: weir.name },
    state,
    picture: streamPicture([state]),
    fallWords: fallWords(state, desk),
    surveys,
    lengthM: body?.geometry.kind === 'wedge' ? throwbackM(body.geometry) : null,
    specificYield: survey?.tape ? specificYieldOf(survey.tape.sandType) : null,
    curve: body && survey ? boardRows(body, survey) : [],
    probes: survey && probeCount(survey),
    readings: (await listReadings(desk.db, { weirId: weir.id })).reverse().slice(0, SHOWN_READINGS),
    cautions: ['water.caution-probing', 'water.caution-chamber', 'water.caution-flood'],
  })
}

/** One description of the sand, drawn with the level of today while it is the one in force. */
async function showSurvey(desk: Desk<'id' | 'surveyId'>) {
  const weir = await weirOr404(desk)
  const surveys = await listSurveys(desk.db, weir.id)
  const survey = found(surveys.find((one) => one.entryId === desk.params.surveyId && one.change === 'survey'))
  const state = (await waterStates(desk.db, { on: desk.today })).find((one) => one.weir.id === weir.id)
  const isNow = state?.survey?.surveyId === survey.entryId
  const waterLevelM = isNow && state.storage.cannotSay === null ? state.storage.waterLevelM : null
  const body = bodyOf(survey)
  const sections = survey.probed?.sections ?? []
  return page(desk, 'water/overview/survey', {
    title: 'storage.survey.heading',
    titleValues: { number: weir.number, date: desk.format.date(survey.fromOn) },
    weir,
    survey,
    probes: probeCount(survey),
    levels: levelsOf(survey),
    isNow,
    waterLevelM,
    readOn: isNow ? (state.reading?.readOn ?? null) : null,
    pictures: sectionPictures(body, waterLevelM),
    long: longPicture(body, waterLevelM),
    areasM2: sections.map((section) => saturatedAreaM2(section, survey.crestLevelM)),
    sandM3: saturatedVolumeM3({ body, waterLevelM: survey.crestLevelM }),
    cautions: ['water.caution-probing', 'water.caution-flood'],
  })
}
