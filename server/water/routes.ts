import type { FastifyInstance } from 'fastify'
import { longSectionGeometry } from '../../domain/water/index.ts'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { may } from '../web/pages/guard.ts'
import { page } from '../web/pages/page.ts'
import { addCalibrationRoutes } from './calibration/routes.ts'
import { addChamberRoutes } from './chamber/routes.ts'
import { addCoverRoutes } from './cover/routes.ts'
import { addDroughtRoutes } from './drought/routes.ts'
import { addInspectionRoutes } from './inspection/routes.ts'
import { addLevelPages } from './level/routes.ts'
import { addLossRoutes } from './loss/routes.ts'
import { addOutlookRoutes } from './outlook/routes.ts'
import { addReserveRoutes } from './reserve/routes.ts'
import { addSectionRoutes } from './sand/section-routes.ts'
import { addGaugingRoutes } from './stream/gauging-routes.ts'
import { addStreamRoutes } from './stream/routes.ts'
import { addTableRoutes } from './table/routes.ts'
import { waterWatch } from './watch.ts'
import { addWeirRoutes } from './weir/routes.ts'
import { missingFor, type WaterState, waterStates } from './weir/state.ts'
import { levelsOf } from './weir/store.ts'

export function addWaterRoutes(app: FastifyInstance, parts: Parts): void {
  app.get('/', { preHandler: may('water.see') }, async (request, reply) => {
    const states = await waterStates(parts.db, { on: request.visit.today })
    return page({ request, reply }, 'water/water', {
      title: 'water.title',
      states: states.map((state) => ({ ...state, missing: missingFor(state), isBelowReserve: isBelowReserve(state) })),
      picture: pictureOf(states),
      watch: await waterWatch(parts.db, request),
      cautions: ['water.caution-flood', 'water.caution-chamber', 'water.caution-untreated'],
    })
  })
  addWeirRoutes(app, parts)
  addLevelPages(pagesOf(app, parts))
  addReserveRoutes(app, parts)
  addSectionRoutes(app, parts)
  addCoverRoutes(app, parts)
  addOutlookRoutes(app, parts)
  addDroughtRoutes(app, parts)
  addStreamRoutes(app, parts)
  addGaugingRoutes(app, parts)
  addInspectionRoutes(app, parts)
  addTableRoutes(app, parts)
  addCalibrationRoutes(app, parts)
  addLossRoutes(app, parts)
  addChamberRoutes(app, parts)
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
