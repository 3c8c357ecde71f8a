import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addExampleRoutes } from './first-run/example-routes.ts'
import { addFirstRunRoutes } from './first-run/routes.ts'
import { addGroupRoutes } from './group/routes.ts'
import { addPersonRoutes } from './person/routes.ts'
import { addPlotRoutes } from './plot/routes.ts'
import { addSessionRoutes } from './session/routes.ts'

export function addPeopleRoutes(app: FastifyInstance, parts: Parts): void {
  addFirstRunRoutes(app, parts)
  addExampleRoutes(app, parts)
  addSessionRoutes(app, parts)
  addGroupRoutes(app, parts)
  addPersonRoutes(app, parts)
  addPlotRoutes(app, parts)
}
