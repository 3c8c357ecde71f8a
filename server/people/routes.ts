import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addApplicantPages } from './applicant/routes.ts'
import { addCalendarPages } from './calendar/routes.ts'
import { addClockPages } from './clock/routes.ts'
import { addComplaintPages } from './complaint/routes.ts'
import { addDecisionBookPages } from './decision/routes.ts'
import { addDevicePages } from './device/routes.ts'
import { addDirectoryPages } from './directory/routes.ts'
import { addExamplePages } from './first-run/example-routes.ts'
import { addFirstRunPages } from './first-run/routes.ts'
import { addGroupPages } from './group/routes.ts'
import { addHandoverPages } from './handover/routes.ts'
import { addHouseholdPages } from './household/routes.ts'
import { addLanguageEntrance, addLanguagePages } from './language/routes.ts'
import { addSentencePages } from './language/sentence-routes.ts'
import { addMarkPages } from './mark/routes.ts'
import { addMarketWeekPages } from './market-week/routes.ts'
import { addMeasurePages } from './measure/routes.ts'
import { addGravePages } from './office/routes.ts'
import { addOwnLanguagePages } from './person/language-routes.ts'
import { addPersonPages } from './person/routes.ts'
import { addOwnerPages } from './plot/owner-routes.ts'
import { addPlotPages } from './plot/routes.ts'
import { addSplitPages } from './plot/split-routes.ts'
import { addCodeEntrance, addCodePages } from './session/code-routes.ts'
import { addKeptPages } from './session/kept-routes.ts'
import { addOneTimePages } from './session/one-time-routes.ts'
import { addPasswordPages } from './session/password-routes.ts'
import { addSessionPages } from './session/routes.ts'
import { addSignedInPages } from './session/signed-in-routes.ts'
import { addVoicePages } from './voice/routes.ts'
import { addWarningPages } from './warning/routes.ts'

/** Before anybody is known: sign in, begin a book, open the example. These addresses stand before every door. */
export function addEntranceRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addFirstRunPages(pages)
  addExamplePages(pages)
  addSessionPages(pages, parts.hashing)
  addCodeEntrance(pages)
  addLanguageEntrance(pages)
}

export function addPeopleRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addDirectoryPages(pages)
  addClockPages(pages)
  addGroupPages(pages)
  addMarketWeekPages(pages)
  addCalendarPages(pages)
  addMeasurePages(pages)
  addPersonPages(pages)
  addGravePages(pages)
  addHouseholdPages(pages)
  addMarkPages(pages)
  addLanguagePages(pages)
  addOwnLanguagePages(pages)
  addSentencePages(pages)
  addPasswordPages(pages)
  addCodePages(pages)
  addKeptPages(pages)
  addOneTimePages(pages)
  addSignedInPages(pages)
  addDevicePages(pages)
  addDecisionBookPages(pages)
  addWarningPages(pages)
  addSplitPages(pages)
  addOwnerPages(pages)
  addApplicantPages(pages)
  addHandoverPages(pages)
  addComplaintPages(pages)
  addPlotPages(pages)
  addVoicePages(pages)
}
