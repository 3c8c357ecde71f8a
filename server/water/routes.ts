import type { FastifyInstance } from 'fastify'
import { weekdayOf } from '../../domain/calendar.ts'
import { dueInspections, longSectionGeometry } from '../../domain/water/index.ts'
import type { Parts } from '../parts.ts'
import { type Desk, pagesOf } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import { addCalibrationPages } from './calibration/routes.ts'
import { addChamberPages } from './chamber/routes.ts'
import { addCoverPages } from './cover/routes.ts'
import { coverSentences } from './cover/words.ts'
import { addDroughtPages } from './drought/routes.ts'
import { droughtState } from './drought/state.ts'
import { addInspectionPages } from './inspection/routes.ts'
import { listInspections } from './inspection/store.ts'
import { addLevelPages } from './level/routes.ts'
import { addLossPages } from './loss/routes.ts'
import { addOutlookPages } from './outlook/routes.ts'
import { addReservePages } from './reserve/routes.ts'
import { addSectionPages } from './sand/section-routes.ts'
import { addGaugingPages } from './stream/gauging-routes.ts'
import { addStreamPages } from './stream/routes.ts'
import { restDaysOn } from './stream/state.ts'
import { addTablePages } from './table/routes.ts'
import { addWeirPages } from './weir/routes.ts'
import { missingFor, type WaterState, waterStates } from './weir/state.ts'
import { levelsOf } from './weir/store.ts'

export function addWaterRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  pages.get('/', 'water.see', showWater)
  addWeirPages(pages)
  addLevelPages(pages)
  addReservePages(pages)
  addSectionPages(pages)
  addCoverPages(pages)
  addOutlookPages(pages)
  addDroughtPages(pages)
  addStreamPages(pages)
  addGaugingPages(pages)
  addInspectionPages(pages)
  addTablePages(pages)
  addCalibrationPages(pages)
  addLossPages(pages)
  addChamberPages(pages)
}

async function showWater(desk: Desk) {
  const states = await waterStates(desk.db, { on: desk.today })
  return page(desk, 'water/water', {
    title: 'water.title',
    states: states.map((state) => ({ ...state, missing: missingFor(state), isBelowReserve: isBelowReserve(state) })),
    picture: pictureOf(states),
    watch: await daysAhead(desk),
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
    isRestDay: (await restDaysOn(db, today)).includes(weekdayOf(today)),
    ...dueInspections({ inspections: await listInspections(db), today }),
  }
}

/** Narrow enough to be read at its own size on a small phone. */
const PICTURE_WIDTH = 400
const PICTURE_HEIGHT_PER_WEIR = 64

/** The long section of the stream by the last readings; weirs whose sand nobody described are left out and named. */
function pictureOf(states: readonly WaterState[]) {
  const drawn = states.flatMap((state) => (state.body && state.survey ? [drawnWeir(state, state.survey)] : []))
  if (drawn.length === 0) return null
  const weirs = drawn.map(({ body, weir, waterLevelM, offTakeLevelM }) => {
    return { weirId: weir.id, body: body!, waterLevelM, offTakeLevelM }
  })
  const height = 110 + PICTURE_HEIGHT_PER_WEIR * drawn.length
  return { section: longSectionGeometry({ weirs, width: PICTURE_WIDTH, height }), drawn }
}

/** Said by the likely figure: even that does not carry people and animals to the rain. */
function isBelowReserve({ storage, reserveM3 }: WaterState): boolean {
  return !storage.cannotSay && reserveM3 !== null && storage.available.likelyM3 < reserveM3
}

function drawnWeir(state: WaterState, survey: NonNullable<WaterState['survey']>) {
  const waterLevelM = state.storage.cannotSay ? null : state.storage.waterLevelM
  return { ...state, ...levelsOf(survey), waterLevelM }
}
