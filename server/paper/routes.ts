import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addPaperBookRoutes } from './books/routes.ts'
import { addWholeBookRoutes } from './whole-book/list-routes.ts'
import { addPrintRoutes } from './whole-book/print-routes.ts'

export function addPaperRoutes(app: FastifyInstance, parts: Parts): void {
  addPaperBookRoutes(app, parts)
  addWholeBookRoutes(app, parts)
  addPrintRoutes(app, parts)
}
