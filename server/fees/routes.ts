import type { FastifyInstance } from 'fastify'
import type { Parts } from '../parts.ts'
import { pagesOf } from '../web/pages/desk.ts'
import { addAgreePages } from './agree-routes.ts'
import { addArrearsMovePages } from './arrears/move-routes.ts'
import { addReliefPages } from './arrears/relief-routes.ts'
import { addArrearsPages } from './arrears/routes.ts'
import { addCashBookPages } from './cash/book-routes.ts'
import { addCountPages } from './cash/count-routes.ts'
import { addDecisionPages } from './cash/decision-routes.ts'
import { addChargePages } from './charge/routes.ts'
import { addClosingPages } from './closing/routes.ts'
import { addFineAppealPages } from './fine/appeal-routes.ts'
import { addFinePages } from './fine/routes.ts'
import { addFixedFeePages } from './fixed-fee/routes.ts'
import { addHeldPages } from './held-routes.ts'
import { addMissedTurnPages } from './missed-turn/routes.ts'
import { addMoneyPages } from './money-routes.ts'
import { addMoneyStatementPages } from './money-statement/routes.ts'
import { addOpeningPages } from './opening/routes.ts'
import { addOtherMoneyPages } from './other-money/routes.ts'
import { addKindPages } from './payment/kind-routes.ts'
import { addPaymentPages } from './payment/routes.ts'
import { addProposalPages } from './proposal/routes.ts'
import { addReceiptBookPages } from './receipt/book-routes.ts'
import { addReceiptCsvPages } from './receipt/csv-routes.ts'
import { addMisplacedPages } from './receipt/misplaced-routes.ts'
import { addReceiptPages } from './receipt/routes.ts'
import { addReconciliationPages } from './reconcile/routes.ts'
import { addReportPages } from './report/routes.ts'
import { addSpokenMoneyPages } from './spoken/routes.ts'
import { addAllStatementsPage } from './statement/all-routes.ts'
import { addStatementPages } from './statement/routes.ts'
import { addTariffPages } from './tariff/routes.ts'
import { addCostPages } from './voucher/cost-routes.ts'
import { addReservePages } from './voucher/reserve-routes.ts'
import { addVoucherPages } from './voucher/routes.ts'

export function addFeesRoutes(app: FastifyInstance, parts: Parts): void {
  const pages = pagesOf(app, parts)
  addMoneyPages(pages)
  addTariffPages(pages)
  addChargePages(pages)
  addOpeningPages(pages)
  addPaymentPages(pages)
  addReceiptPages(pages)
  addStatementPages(pages)
  addSpokenMoneyPages(pages)
  addCashBookPages(pages)
  addHeldPages(pages)
  addCountPages(pages)
  addDecisionPages(pages)
  addReceiptBookPages(pages)
  addMisplacedPages(pages)
  addMoneyStatementPages(pages)
  addOtherMoneyPages(pages)
  addAgreePages(pages)
  addReconciliationPages(pages)
  addClosingPages(pages)
  addVoucherPages(pages)
  addReservePages(pages)
  addReceiptCsvPages(pages)
  addCostPages(pages)
  addFixedFeePages(pages)
  addArrearsPages(pages)
  addArrearsMovePages(pages)
  addReliefPages(pages)
  addFinePages(pages)
  addFineAppealPages(pages)
  addMissedTurnPages(pages)
  addKindPages(pages)
  addProposalPages(pages)
  addReportPages(pages)
  addAllStatementsPage(pages)
}
