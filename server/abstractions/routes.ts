import type { FastifyInstance } from 'fastify'
import type { Parts } from '../app.ts'
import { addAbstractionRoutes } from './abstraction-routes.ts'
import { addBalanceRoutes } from './balance-routes.ts'
import { addLogClosingRoutes } from './closing-routes.ts'
import { addCorrectionRoutes } from './correction-routes.ts'
import { addFaultRoutes } from './fault-routes.ts'
import { addFlagRoutes } from './flag-routes.ts'
import { addFlowTestRoutes } from './flow-test-routes.ts'
import { addLogRoutes } from './log-routes.ts'
import { addMergedRoutes } from './merged-routes.ts'
import { addMeterRoutes } from './meter-routes.ts'
import { addNightTestRoutes } from './night-test-routes.ts'
import { addPaperRoutes } from './paper-routes.ts'
import { addPrintRoutes } from './print-routes.ts'
import { addPumpDayRoutes } from './pump-day-routes.ts'
import { addTankDayRoutes } from './tank-day-routes.ts'
import { addTurnLogRoutes } from './turn-routes.ts'
import { addWholeBookRoutes } from './whole-book-routes.ts'

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
