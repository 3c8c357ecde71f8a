import type { FastifyInstance } from 'fastify'
import { addPaperRoutes } from '../paper/books/routes.ts'
import { addWholeBookRoutes } from '../paper/whole-book/list-routes.ts'
import { addPrintRoutes } from '../paper/whole-book/print-routes.ts'
import type { Parts } from '../parts.ts'
import { addFaultRoutes } from '../works/fault/routes.ts'
import { addFlowTestRoutes } from '../works/flow-test/routes.ts'
import { addMeterRoutes } from '../works/meter/routes.ts'
import { addPumpDayRoutes } from '../works/pump/reading-routes.ts'
import { addTankDayRoutes } from '../works/tank/day-routes.ts'
import { addBalanceRoutes } from './balance/routes.ts'
import { addLogClosingRoutes } from './closing/routes.ts'
import { addCorrectionRoutes } from './correction/routes.ts'
import { addAbstractionRoutes } from './draw/routes.ts'
import { addLogRoutes } from './log/routes.ts'
import { addTurnLogRoutes } from './log/turn-routes.ts'
import { addMergedRoutes } from './merged/routes.ts'
import { addNightTestRoutes } from './night-test/routes.ts'
import { addFlagRoutes } from './plausibility/routes.ts'

export function addAbstractionsRoutes(app: FastifyInstance, parts: Parts): void {
  addLogRoutes(app, parts)
  addFlagRoutes(app, parts)
  addTurnLogRoutes(app, parts)
  addAbstractionRoutes(app, parts)
  addCorrectionRoutes(app, parts)
  addBalanceRoutes(app, parts)
  addPaperRoutes(app, parts)
  addPumpDayRoutes(app, parts)
  addTankDayRoutes(app, parts)
  addFlowTestRoutes(app, parts)
  addFaultRoutes(app, parts)
  addMeterRoutes(app, parts)
  addMergedRoutes(app, parts)
  addNightTestRoutes(app, parts)
  addWholeBookRoutes(app, parts)
  addPrintRoutes(app, parts)
  addLogClosingRoutes(app, parts)
}
