import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addBalancePages } from './balance/routes.ts'
import { addLogClosingPages } from './closing/routes.ts'
import { addCorrectionPages } from './correction/routes.ts'
import { addDrawPages } from './draw/routes.ts'
import { addEntryPages } from './entry/routes.ts'
import { addTurnStartPages } from './log/start-routes.ts'
import { addTurnLogPages } from './log/turn-routes.ts'
import { addJoinPages } from './merged/join-routes.ts'
import { addMergedPages } from './merged/routes.ts'
import { addNightTestPages } from './night-test/routes.ts'
import { addFlagPages } from './plausibility/routes.ts'
import { addRoundPages } from './round/routes.ts'

export function addAbstractionsRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addFlagPages(pages)
  addTurnLogPages(pages)
  addRoundPages(pages)
  addTurnStartPages(pages)
  addDrawPages(pages)
  addEntryPages(pages)
  addCorrectionPages(pages)
  addBalancePages(pages)
  addMergedPages(pages)
  addJoinPages(pages)
  addNightTestPages(pages)
  addLogClosingPages(pages)
}
