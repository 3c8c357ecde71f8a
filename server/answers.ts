import { metersOverLog } from './abstractions/balance/pump-balance-store.ts'
import { lastMeterReadings } from './abstractions/closing/last-readings-store.ts'
import { correctionsOf } from './abstractions/draw/correction-store.ts'
import {
  deliveredByPlot,
  deliveredByPlotAndWeek,
  drawsEverWritten,
  firstWaterOn,
  listAbstractions,
} from './abstractions/draw/store.ts'
import { loggedOfTurns } from './abstractions/log/store.ts'
import { oddOn } from './abstractions/plausibility/store.ts'
import { mostGroundFrom } from './crops/plan/most-ground-store.ts'
import { openMoney } from './fees/cash/open-store.ts'
import { chargesOfPlot } from './fees/charge/plot-store.ts'
import { finesTowards } from './fees/fine/store.ts'
import { openGroupAccounts, openMemberAccount } from './fees/ledger/account-store.ts'
import { cashInBook } from './fees/ledger/cash-store.ts'
import { pricesOn } from './fees/tariff/store.ts'
import type { Parts } from './parts.ts'
import { askedByWeek, publishedUntil } from './rotation/published/weeks-store.ts'
import { openWishes, splitWishes } from './rotation/request/split-store.ts'
import { trialShares } from './rotation/share/trial-store.ts'
import { nextTurnSaid } from './rotation/spoken/state.ts'
import { weatherDays } from './water/weather/store.ts'
import { listOutlets, listPumps } from './works/pump/store.ts'

/** What each room asks of later ones, answered: for the app, and for whoever writes a book without its pages. */
export const answers: Pick<Parts, 'people' | 'water' | 'rotation'> = {
  people: {
    pumpsOn: listPumps,
    outletsOn: listOutlets,
    publishedUntil,
    askedByWeek,
    finesTowards,
    openWishes,
    splitWishes,
    mostGroundFrom,
    trialShares,
    lastMeterReadings,
    firstWaterOn,
    openMoney,
    nextTurnSaid,
    cashInBook,
    openGroupAccounts,
    openMemberAccount,
  },
  water: { draws: listAbstractions, metersOverLog, rainDays: weatherDays },
  rotation: {
    draws: listAbstractions,
    oddOn,
    drawsOfTurns: loggedOfTurns,
    drawsEverWritten,
    correctionsOf,
    deliveredByPlot,
    deliveredByPlotAndWeek,
    pricesOn,
    chargesOfPlot,
  },
}
