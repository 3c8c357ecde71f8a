import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addBookingRoutes } from './booking/routes.ts'
import { addNoTurnRoutes } from './constraint/no-turn-routes.ts'
import { addGroundRoutes } from './constraint/routes.ts'
import { addMoveUpRoutes } from './day/move-up-routes.ts'
import { addDayRoutes } from './day/routes.ts'
import { addFairRoutes } from './fairness/routes.ts'
import { addHandRoutes } from './manual-change/routes.ts'
import { addOutcomeRoutes } from './outcome/routes.ts'
import { addPlotRecordRoutes } from './plot-record/routes.ts'
import { addRequestRoutes } from './request/routes.ts'
import { addClassRoutes } from './rule/class-routes.ts'
import { addCompareRoutes } from './rule/compare-routes.ts'
import { addHouseholdRoutes } from './rule/household-routes.ts'
import { addRuleRoutes } from './rule/routes.ts'
import { addTurnRoutes } from './share/reason-routes.ts'
import { addSlipRoutes } from './slip/routes.ts'
import { addWaterWorkingRoutes } from './supply/left-routes.ts'
import { addReleaseRoutes } from './supply/routes.ts'
import { addSwapRoutes } from './swap/routes.ts'
import { addTankTurnRoutes } from './tank-turn/routes.ts'
import { addSequenceRoutes } from './turn-list/routes.ts'
import { addWeekRoutes } from './week/routes.ts'

export function addRotationRoutes(app: FastifyInstance, parts: Parts): void {
  addWeekRoutes(app, parts)
  addTurnRoutes(app, parts)
  addSlipRoutes(app, parts)
  addHandRoutes(app, parts)
  addDayRoutes(app, parts)
  addMoveUpRoutes(app, parts)
  addOutcomeRoutes(app, parts)
  addSequenceRoutes(app, parts)
  addBookingRoutes(app, parts)
  addSwapRoutes(app, parts)
  addFairRoutes(app, parts)
  addGroundRoutes(app, parts)
  addTankTurnRoutes(app, parts)
  addReleaseRoutes(app, parts)
  addWaterWorkingRoutes(app, parts)
  addPlotRecordRoutes(app, parts)
  addRequestRoutes(app, parts)
  addRuleRoutes(app, parts)
  addHouseholdRoutes(app, parts)
  addClassRoutes(app, parts)
  addCompareRoutes(app, parts)
  addNoTurnRoutes(app, parts)
}
