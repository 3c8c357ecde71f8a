import { addDays } from '../../domain/calendar.ts'
import { charge } from '../../domain/fees/charge/charge.ts'
import type { ChargedAbstraction } from '../../domain/fees/charge/types.ts'
import type { Tariff } from '../../domain/fees/tariff/tariff.ts'
import { seededRandom } from '../../domain/random.ts'
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

/** What 200 members owe for a year with a delivery a week, by a tariff in blocks that changes at midyear. */
export async function run(): Promise<string[]> {
  const random = seededRandom(7)
  const members = Array.from({ length: MEMBERS }, (_, member) => deliveries(member, random))
  const chargeAll = () =>
    members.map((abstractions) => charge({ tariffs: TARIFFS, abstractions, payer: { payerClass: null }, period: YEAR }))
  if (chargeAll().some(({ totalMinor }) => totalMinor <= 0)) throw new Error('somebody owes nothing')
  const ms = fastestMs(5, chargeAll)
  return [`charges of ${MEMBERS} members for a year, ${MEMBERS * WEEKS} deliveries: ${shown(ms)} ms`]
}

function deliveries(member: number, random: () => number): ChargedAbstraction[] {
  return Array.from({ length: WEEKS }, (_, week) => ({
    id: `${member}-${week}`,
    on: addDays(YEAR.from, week * 7 + Math.floor(random() * 7)),
    volumeM3: Math.round(12_000 * random()) / 1000,
    grade: random() < 0.1 ? 'estimated' : 'measured',
  }))
}
