import type { FastifyInstance } from 'fastify'
import { addRegister } from '../book/register/routes.ts'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addFaultPages } from './fault/routes.ts'
import { addFlowTestPages } from './flow-test/routes.ts'
import { addMeterPages } from './meter/routes.ts'
import { pumpReadingRegister } from './pump/reading-register.ts'
import { addPumpPages } from './pump/routes.ts'
import { tankReadingRegister, tankRegister } from './tank/registers.ts'

export function addWorksRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addPumpPages(pages)
  addRegister(pages, pumpReadingRegister)
  addRegister(pages, tankReadingRegister)
  addRegister(pages, tankRegister)
  addFlowTestPages(pages)
  addFaultPages(pages)
  addMeterPages(pages)
}
