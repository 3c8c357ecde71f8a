import { saturatedVolumeM3 } from '../../../domain/water/sand/storage.ts'
import { saturatedAreaM2 } from '../../../domain/water/sand/survey-volume.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { bodyOf, levelsOf, probeCount } from '../sand/description.ts'
import { listSurveys } from '../sand/description-store.ts'
import { longPicture, sectionPictures } from '../sand/section-picture.ts'
import { waterStates } from '../storage/state.ts'
import { weirOr404 } from '../weir/found.ts'

/** One description of the sand, drawn with the level of today while it is the one in force. */
export async function showSurvey(desk: Desk<'id' | 'surveyId'>) {
  const weir = await weirOr404(desk)
  const surveys = await listSurveys(desk.db, weir.id)
  const survey = found(surveys.find((one) => one.entryId === desk.params.surveyId && one.change === 'survey'))
  const state = (await waterStates(desk.db, { on: desk.today })).find((one) => one.weir.id === weir.id)
  const isNow = state?.survey?.surveyId === survey.entryId
  const waterLevelM = isNow && state.storage.cannotSay === null ? state.storage.waterLevelM : null
  const body = bodyOf(survey)
  const sections = survey.probed?.sections ?? []
  return page(desk, 'water/overview/survey', {
    title: 'sand.survey.heading',
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
