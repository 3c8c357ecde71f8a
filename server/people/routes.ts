import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addExampleRoutes } from './first-run/example-routes.ts'
import { addFirstRunRoutes } from './first-run/routes.ts'
import { addGroupRoutes } from './group/routes.ts'
import { addPersonRoutes } from './person/routes.ts'
import { addPlotRoutes } from './plot/routes.ts'
import { addSessionRoutes } from './session/routes.ts'

/** Before anybody is known: sign in, begin a book, open the example. These addresses stand before every door. */
export function addEntranceRoutes(app: FastifyInstance, parts: Parts): void {
  addFirstRunRoutes(app, parts)
  addExampleRoutes(app, parts)
  addSessionRoutes(app, parts)
}

export function addPeopleRoutes(app: FastifyInstance, parts: Parts): void {
  addGroupRoutes(app, parts)
  addPersonRoutes(app, parts)
  addPlotRoutes(app, parts)
}
