import { addDays } from '../../domain/calendar.ts'
import { type ChargedAbstraction, charge, reconcile, type Tariff } from '../../domain/fees/index.ts'
import { seededRandom } from '../rotation/allocation-networks.ts'
import { fastestMs, shown } from './measure.ts'

const MEMBERS = 200
const WEEKS = 52
const YEAR = { from: '2026-01-01', to: '2026-12-31' }

const TARIFFS: Tariff[] = [0, 26].map((week) => ({
  id: `tariff-${week}`,
  from: addDays(YEAR.from, week * 7),
  payerClass: null,
  parts: [
    {
      kind: 'per-m3',
      blocks: [
        { upToM3: 100, priceMinor: 45 },
        { upToM3: null, priceMinor: 60.5 },
      ],
    },
    { kind: 'flat', priceMinor: 500, every: 'month' },
  ],
}))

/** A year's book of 200 members: a delivery a week, a payment a month. */
export async function run(): Promise<string[]> {
  const random = seededRandom(7)
  const members = Array.from({ length: MEMBERS }, (_, member) => deliveries(member, random))
  const chargeAll = () =>
    members.map((abstractions) => charge({ tariffs: TARIFFS, abstractions, payer: { payerClass: null }, period: YEAR }))
  const book = bookOf(members.flat(), chargeAll())
  const found = reconcile(book)
  if (!found.closes)
    throw new Error(`the book does not close: ${JSON.stringify(found.differences[0] ?? found.cannotSay)}`)
  const chargeMs = fastestMs(5, chargeAll)
  const reconcileMs = fastestMs(10, () => reconcile(book))
  return [
    `charges of ${MEMBERS} members for a year, ${book.slips.length} deliveries: ${shown(chargeMs)} ms`,
    `reconciling their book, ${book.receipts.length} receipts: ${shown(reconcileMs)} ms (goal: under 200 ms)`,
  ]
}

function deliveries(member: number, random: () => number): ChargedAbstraction[] {
  return Array.from({ length: WEEKS }, (_, week) => ({
    id: `${member}-${week}`,
    on: addDays(YEAR.from, week * 7 + Math.floor(random() * 7)),
    volumeM3: Math.round(12_000 * random()) / 1000,
    grade: random() < 0.1 ? 'estimated' : 'measured',
  }))
}

/** Everything posted as charged, and every member paying by twelfths in cash. */
function bookOf(abstractions: readonly ChargedAbstraction[], charges: readonly ReturnType<typeof charge>[]) {
  const dueOf = new Map<string, number>()
  for (const { lines } of charges) {
    for (const { abstractionId, amountMinor } of lines) {
      if (abstractionId !== null) dueOf.set(abstractionId, (dueOf.get(abstractionId) ?? 0) + amountMinor)
    }
  }
  const receipts = charges.flatMap(({ totalMinor }, member) =>
    Array.from({ length: 12 }, (_, month) => ({
      bookId: 'screen',
      number: member * 12 + month + 1,
      amountMinor: Math.floor(totalMinor / 12),
      column: 'cash' as const,
      forAccountId: `member-${member}`,
      posted: { accountId: `member-${member}`, amountMinor: Math.floor(totalMinor / 12) },
    })),
  )
  const chargesMinor = charges.reduce((sum, { totalMinor }) => sum + totalMinor, 0)
  const receiptsMinor = receipts.reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  return {
    water: { pumpedM3: 10, unexplainedM3: 0, toleranceM3: 1 },
    slips: abstractions.map(({ id, volumeM3 }) => {
      const dueMinor = dueOf.get(id) ?? 0
      return { abstractionId: id, volumeM3, uncertaintyM3: 0.02 * volumeM3, dueMinor, postedMinor: dueMinor }
    }),
    arrears: {
      openingMinor: 0,
      chargesMinor,
      finesMinor: 0,
      receiptsMinor,
      reliefMinor: 0,
      closingMinor: chargesMinor - receiptsMinor,
    },
    receipts,
    cashBook: receipts.map(({ bookId, number, amountMinor }) => ({
      id: `line-${number}`,
      column: 'cash' as const,
      inMinor: amountMinor,
      outMinor: 0,
      receipt: { bookId, number },
    })),
    counted: { cashMinor: receiptsMinor, walletMinor: 0, bankMinor: 0 },
  }
}
