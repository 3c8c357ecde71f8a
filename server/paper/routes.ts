import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addPaperBookPages } from './books/routes.ts'
import { addSetupSheetPage } from './books/setup-sheet.ts'
import { addCopyPages } from './copy/routes.ts'
import { addManyPages } from './many/routes.ts'
import { addSealPages } from './seal/routes.ts'
import { addTypingPages } from './typing/routes.ts'
import { addChangesPage } from './whole-book/changes-routes.ts'
import { addWholeBookPages } from './whole-book/list-routes.ts'
import { addPrintPages } from './whole-book/print-routes.ts'

export function addPaperRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addSetupSheetPage(pages)
  addPaperBookPages(pages)
  addManyPages(pages)
  addSealPages(pages)
  addCopyPages(pages)
  addTypingPages(pages)
  addWholeBookPages(pages)
  addPrintPages(pages)
  addChangesPage(pages)
}
