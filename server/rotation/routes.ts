import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addBoardPages } from './board/routes.ts'
import { addBookingPages } from './booking/routes.ts'
import { addConstraintPages } from './constraint/routes.ts'
import { addDayPages } from './day/routes.ts'
import { addFairnessPages } from './fairness/routes.ts'
import { addManualChangePages } from './manual-change/routes.ts'
import { addOutcomePages } from './outcome/routes.ts'
import { addMemberCardPage } from './plot-record/card.ts'
import { addPlotRecordPages } from './plot-record/routes.ts'
import { addPumpFlowPages } from './pump-flow/routes.ts'
import { addRequestPages } from './request/routes.ts'
import { addRulePages } from './rule/routes.ts'
import { addReasonPages } from './share/reason-routes.ts'
import { addSlipPages } from './slip/routes.ts'
import { addSpokenTurnPages } from './spoken/routes.ts'
import { addSupplyPages } from './supply/routes.ts'
import { addSwapPages } from './swap/routes.ts'
import { addTankTurnPages } from './tank-turn/routes.ts'
import { addTurnListPages } from './turn-list/routes.ts'
import { addBasisPages } from './week/basis-routes.ts'
import { addPublicationPages } from './week/publication-routes.ts'
import { addWeekPages } from './week/routes.ts'
import { addTakingBackPages } from './week/taking-back.ts'

export function addRotationRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addWeekPages(pages)
  addBoardPages(pages)
  addPublicationPages(pages)
  addBasisPages(pages)
  addTakingBackPages(pages)
  addReasonPages(pages)
  addSlipPages(pages)
  addSpokenTurnPages(pages)
  addManualChangePages(pages)
  addDayPages(pages)
  addOutcomePages(pages)
  addTurnListPages(pages)
  addBookingPages(pages)
  addSwapPages(pages)
  addFairnessPages(pages)
  addConstraintPages(pages)
  addPumpFlowPages(pages)
  addTankTurnPages(pages)
  addSupplyPages(pages)
  addPlotRecordPages(pages)
  addMemberCardPage(pages)
  addRequestPages(pages)
  addRulePages(pages)
}
