import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { Minor } from '../../money/money.ts'
import type { M3 } from '../../units.ts'
import type { DRINKING, Tariff, TariffPart } from '../tariff/tariff.ts'

export interface ChargedAbstraction {
  id: string
  /** The day of delivery, which decides the tariff. */
  on: CalendarDate
  /** What was delivered. */
  volumeM3: M3
  /** What was agreed; a cut turn then costs that part of a price per turn. */
  plannedM3?: M3
  pumpHours?: number
  grade: 'measured' | 'estimated'
  use?: 'irrigation' | 'livestock' | typeof DRINKING
  /** Its place among the slips that were charged before; left out for one that was not. */
  chargedPlace?: number
  /** The taker gave no word and did not come; the rule is the tariff's `no-show` or `no-show-part`, else nothing is charged. */
  noShow?: boolean
}

export interface Payer {
  payerClass: string | null
  shares?: number
  areaM2?: number
}

export interface ChargeLine {
  /** Null for a fixed fee. */
  abstractionId: Id<'abstraction'> | null
  on: CalendarDate
  tariffId: Id<'tariff'>
  kind: TariffPart['kind']
  quantity: number
  unit: 'm3' | 'h' | 'turn' | 'share' | 'ha' | 'month' | 'season'
  amountMinor: Minor
  estimated: boolean
}

export interface Charge {
  lines: ChargeLine[]
  totalMinor: Minor
  /** Days with delivered water for which no tariff held: nothing is charged, and somebody should know. */
  withoutTariffOn: CalendarDate[]
}

export interface ChargeInput {
  tariffs: readonly Tariff[]
  abstractions: readonly ChargedAbstraction[]
  payer: Payer
  period: { from: CalendarDate; to: CalendarDate }
  /** Season fees fall due on this day, if the period holds it. */
  seasonStartsOn?: CalendarDate
}
