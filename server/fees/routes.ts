import type { FastifyInstance } from 'fastify'
import type { Parts } from '../app.ts'
import { addCashBookRoutes } from './cash-book-routes.ts'
import { addChargeRoutes } from './charge-routes.ts'
import { addMoneyRoutes } from './money-routes.ts'
import { addOpeningRoutes } from './opening-routes.ts'
import { addPaymentRoutes } from './payment-routes.ts'
import { addReceiptRoutes } from './receipt-routes.ts'
import { addStatementRoutes } from './statement-routes.ts'
import { addTariffRoutes } from './tariff-routes.ts'

export function addFeesRoutes(app: FastifyInstance, parts: Parts): void {
  addMoneyRoutes(app, parts)
  addTariffRoutes(app, parts)
  addChargeRoutes(app, parts)
  addOpeningRoutes(app, parts)
  addPaymentRoutes(app, parts)
  addReceiptRoutes(app, parts)
  addStatementRoutes(app, parts)
  addCashBookRoutes(app, parts)
}
