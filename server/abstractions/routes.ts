import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
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
  addMergedRoutes(app, parts)
  addNightTestRoutes(app, parts)
  addLogClosingRoutes(app, parts)
}
