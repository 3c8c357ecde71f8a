import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addFaultRoutes } from './fault/routes.ts'
import { addFlowTestRoutes } from './flow-test/routes.ts'
import { addMeterRoutes } from './meter/routes.ts'
import { addPumpDayRoutes } from './pump/reading-routes.ts'
import { addPumpAndOutletRoutes } from './pump/routes.ts'
import { addTankDayRoutes } from './tank/day-routes.ts'

export function addWorksRoutes(app: FastifyInstance, parts: Parts): void {
  addPumpAndOutletRoutes(app, parts)
  addPumpDayRoutes(app, parts)
  addTankDayRoutes(app, parts)
  addFlowTestRoutes(app, parts)
  addFaultRoutes(app, parts)
  addMeterRoutes(app, parts)
}
