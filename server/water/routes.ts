import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addCalibrationPages } from './calibration/routes.ts'
import { addChamberPages } from './chamber/routes.ts'
import { addCoverPages } from './cover/routes.ts'
import { addDroughtPages } from './drought/routes.ts'
import { addInspectionPages } from './inspection/routes.ts'
import { addLevelPages } from './level/routes.ts'
import { addLossPages } from './loss/routes.ts'
import { addOutlookPages } from './outlook/routes.ts'
import { addOverviewPages } from './overview/routes.ts'
import { addReservePages } from './reserve/routes.ts'
import { addSectionPages } from './sand/section-routes.ts'
import { addTapePages } from './sand/tape-routes.ts'
import { addStoragePages } from './storage/routes.ts'
import { addGaugingPages } from './stream/gauging-routes.ts'
import { addStreamPages } from './stream/routes.ts'
import { addTablePages } from './table/routes.ts'
import { addUserPages } from './users/routes.ts'

export function addWaterRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addOverviewPages(pages)
  addTapePages(pages)
  addStoragePages(pages)
  addUserPages(pages)
  addLevelPages(pages)
  addReservePages(pages)
  addSectionPages(pages)
  addCoverPages(pages)
  addOutlookPages(pages)
  addDroughtPages(pages)
  addStreamPages(pages)
  addGaugingPages(pages)
  addInspectionPages(pages)
  addTablePages(pages)
  addCalibrationPages(pages)
  addLossPages(pages)
  addChamberPages(pages)
}
