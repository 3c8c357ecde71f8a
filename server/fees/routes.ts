import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { addReliefRoutes } from './arrears/relief-routes.ts'
import { addArrearsRoutes } from './arrears/routes.ts'
import { addCashBookRoutes } from './cash/book-routes.ts'
import { addCountRoutes } from './cash/count-routes.ts'
import { addChargeRoutes } from './charge/routes.ts'
import { addClosingRoutes } from './closing/routes.ts'
import { addFineRoutes } from './fine/routes.ts'
import { addFixedFeeRoutes } from './fixed-fee/routes.ts'
import { addOpeningRoutes } from './ledger/opening-routes.ts'
import { addMoneyRoutes } from './money-routes.ts'
import { addMoneyStatementRoutes } from './money-statement/routes.ts'
import { addKindRoutes } from './payment/kind-routes.ts'
import { addMisplacedRoutes } from './payment/misplaced-routes.ts'
import { addPaymentRoutes } from './payment/routes.ts'
import { addReceiptBookRoutes } from './receipt/book-routes.ts'
import { addReceiptCsvRoutes } from './receipt/csv-routes.ts'
import { addReceiptRoutes } from './receipt/routes.ts'
import { addReconciliationRoutes } from './reconcile/routes.ts'
import { addReportRoutes } from './report/routes.ts'
import { addStatementRoutes } from './statement/routes.ts'
import { addProposalRoutes } from './tariff/proposal-routes.ts'
import { addTariffRoutes } from './tariff/routes.ts'
import { addCostRoutes } from './voucher/cost-routes.ts'
import { addReserveRoutes } from './voucher/reserve-routes.ts'
import { addVoucherRoutes } from './voucher/routes.ts'

export function addFeesRoutes(app: FastifyInstance, parts: Parts): void {
  addMoneyRoutes(app, parts)
  addTariffRoutes(app, parts)
  addChargeRoutes(app, parts)
  addOpeningRoutes(app, parts)
  addPaymentRoutes(app, parts)
  addReceiptRoutes(app, parts)
  addStatementRoutes(app, parts)
  addCashBookRoutes(app, parts)
  addCountRoutes(app, parts)
  addReceiptBookRoutes(app, parts)
  addMisplacedRoutes(app, parts)
  addMoneyStatementRoutes(app, parts)
  addReconciliationRoutes(app, parts)
  addClosingRoutes(app, parts)
  addVoucherRoutes(app, parts)
  addReserveRoutes(app, parts)
  addReceiptCsvRoutes(app, parts)
  addCostRoutes(app, parts)
  addFixedFeeRoutes(app, parts)
  addArrearsRoutes(app, parts)
  addReliefRoutes(app, parts)
  addFineRoutes(app, parts)
  addKindRoutes(app, parts)
  addProposalRoutes(app, parts)
  addReportRoutes(app, parts)
}
