import type { FastifyInstance } from 'fastify'
import type { Parts } from '../app.ts'
import { addNeedRoutes } from './need-routes.ts'
import { addPlanRoutes } from './plan-routes.ts'
import { addPlantingRoutes } from './planting-routes.ts'
import { addRootZoneRoutes } from './root-zone-routes.ts'
import { addSeasonRoutes } from './season-routes.ts'
import { addTapingRoutes } from './taping-routes.ts'
import { addUploadRoutes } from './upload-routes.ts'
import { addWeatherRoutes } from './weather-routes.ts'

export function addCropsRoutes(app: FastifyInstance, parts: Parts): void {
  addNeedRoutes(app, parts)
  addPlanRoutes(app, parts)
  addPlantingRoutes(app, parts)
  addTapingRoutes(app, parts)
  addSeasonRoutes(app, parts)
  addRootZoneRoutes(app, parts)
  addUploadRoutes(app, parts)
  addWeatherRoutes(app, parts)
}
