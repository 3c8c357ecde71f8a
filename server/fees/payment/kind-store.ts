import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { minor } from '../../../domain/money/money.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { recordPayment } from '../receipt/store.ts'

/** What a day of labour or a measure of produce is worth, by a minute of the meeting. */
interface KindRate {
  id: string
  fromOn: CalendarDate
  kind: 'labour' | 'produce'
  /** One of what: `day of work`, `kg of dry onions`. */
  name: string
  priceMinor: number
  minute: string
}

export async function setKindRate(pen: Pen, rate: Omit<KindRate, 'id'>): Promise<string> {
  const { fromOn, kind, name, priceMinor, minute } = rate
  const row = { fromOn, kind, name, priceMinor, minute }
  return appendEntry(pen, { kind: 'kind-rate' }, { kindRate: [row] })
}

export async function listKindRates(db: Database): Promise<KindRate[]> {
  const rows = await db
    .selectFrom('kindRate')
    .innerJoin('entry', 'entry.id', 'kindRate.entryId')
    .where(standing('kindRate'))
    .select(['entry.id', 'fromOn', 'kindRate.kind', 'name', 'priceMinor', 'minute'])
    .orderBy(asWritten)
    .execute()
  return rows.map((row) => ({ ...row, kind: row.kind as KindRate['kind'] }))
}

/** The rate of each kind and name that holds on a day: the last from-date, the later written of the same day. */
export function ratesOn(rates: readonly KindRate[], on: CalendarDate): KindRate[] {
  const held = new Map<string, KindRate>()
  for (const rate of rates) {
    const key = `${rate.kind} ${rate.name.toLowerCase()}`
    const known = held.get(key)
    if (rate.fromOn <= on && (!known || rate.fromOn >= known.fromOn)) held.set(key, rate)
  }
  return [...held.values()]
}

/** A payment without coins: its own receipt number, the account credited, no line in the cash book. */
export async function recordKindPayment(
  pen: Pen,
  paid: { personId: Id<'person'>; rate: KindRate; quantity: number; onDate: CalendarDate; words: string },
): Promise<number> {
  const { personId, rate, quantity, onDate, words } = paid
  const amountMinor = kindAmount(rate, quantity)
  const more = { kindPayment: [{ rateId: rate.id, quantity }] }
  return recordPayment(pen, { personId, amountMinor, column: rate.kind, onDate, words }, {}, more)
}

export function kindAmount({ priceMinor }: KindRate, quantity: number): number {
  return minor(Math.round(priceMinor * quantity))
}
