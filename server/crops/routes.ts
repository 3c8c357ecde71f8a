import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addCropPages } from './crop/routes.ts'
import { addDemandPages } from './demand/routes.ts'
import { addNeedPages } from './need/routes.ts'
import { addCoverPages } from './plan/cover-routes.ts'
import { addPlanPages } from './plan/routes.ts'
import { addPlantingPages } from './planting/routes.ts'
import { addTapingPages } from './planting/taping-routes.ts'
import { addRootZonePages } from './root-zone/routes.ts'
import { addSeasonPages } from './season/routes.ts'
import { addMulchPages } from './setting/mulch-routes.ts'
import { addSettingPages } from './setting/routes.ts'
import { addSaltPages } from './setting/salt-routes.ts'
import { addGaugePages } from './weather/gauge-routes.ts'
import { addWeatherPages } from './weather/routes.ts'
import { addSheetPages } from './weather/sheet-routes.ts'
import { addUploadPages } from './weather/upload-routes.ts'

export function addCropsRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addNeedPages(pages)
  addPlanPages(pages)
  addCoverPages(pages)
  addPlantingPages(pages)
  addTapingPages(pages)
  addSeasonPages(pages)
  addCropPages(pages)
  addGaugePages(pages)
  addSettingPages(pages)
  addMulchPages(pages)
  addSaltPages(pages)
  addDemandPages(pages)
  addSheetPages(pages)
  addRootZonePages(pages)
  addUploadPages(pages)
  addWeatherPages(pages)
}
