import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addCropRoutes } from './crop/routes.ts'
import { addNeedRoutes } from './need/routes.ts'
import { addPlanRoutes } from './plan/routes.ts'
import { addPlantingRoutes } from './planting/routes.ts'
import { addTapingRoutes } from './planting/taping-routes.ts'
import { addRootZoneRoutes } from './root-zone/routes.ts'
import { addSeasonRoutes } from './season/routes.ts'
import { addSettingRoutes } from './setting/routes.ts'
import { addGaugeRoutes } from './weather/gauge-routes.ts'
import { addWeatherRoutes } from './weather/routes.ts'
import { addSheetRoutes } from './weather/sheet-routes.ts'
import { addUploadRoutes } from './weather/upload-routes.ts'

export function addCropsRoutes(app: FastifyInstance, parts: Parts): void {
  addNeedRoutes(app, parts)
  addPlanRoutes(app, parts)
  addPlantingRoutes(app, parts)
  addTapingRoutes(app, parts)
  addSeasonRoutes(app, parts)
  addCropRoutes(app, parts)
  addGaugeRoutes(app, parts)
  addSettingRoutes(app, parts)
  addSheetRoutes(app, parts)
  addRootZoneRoutes(app, parts)
  addUploadRoutes(app, parts)
  addWeatherRoutes(app, parts)
}
