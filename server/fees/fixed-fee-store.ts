import type { CalendarDate } from '../../domain/calendar.ts'
import { type ChargeLine, charge } from '../../domain/fees/index.ts'
import type { Database } from '../database/connection.ts'
import type { Pen } from '../database/entries.ts'
import { currentGroup } from '../people/group-store.ts'
import { listPlots } from '../people/plot-store.ts'
import { groupAccount } from './account-store.ts'
import { payerClasses } from './payer-class-store.ts'
import { listPayers, type Payer } from './payers.ts'
import { approvedTariffs } from './tariff-store.ts'
import { addTransfer } from './transfer-store.ts'

export interface DueFee {
  payer: Payer
  line: ChargeLine
  every: 'month' | 'season'
}

/**
 * Fees that fell due this season and are not yet posted: by month on its first day, by season on the season's first day,
 * by the tariff, the plots and the class of that day. Whoever holds no plot on that day owes none.
 */
export async function dueFees(db: Database, { toOn }: { toOn: CalendarDate }): Promise<DueFee[]> {
  const group = await currentGroup(db)
  if (!group || group.seasonStartOn > toOn) return []
  const [tariffs, classes] = [await approvedTariffs(db), await payerClasses(db)]
  const rows = await db.selectFrom('fixed_fee').select(['account_id', 'kind', 'every', 'due_on']).execute()
  const posted = new Set(rows.map((row) => [row.account_id, row.kind, row.every, row.due_on].join(' ')))
  const payers = [...(await listPayers(db)).values()].toSorted((a, b) => a.number - b.number)
  const due: DueFee[] = []
  for (const on of dueDays(group.seasonStartOn, toOn)) {
    const plots = await listPlots(db, on)
    for (const payer of payers) {
      const own = plots.filter((plot) => plot.holders[0]?.id === payer.personId)
      if (own.length === 0) continue
      const { lines } = charge({
        tariffs,
        abstractions: [],
        payer: {
          payerClass: classes(payer.personId, on),
          shares: own.reduce((sum, plot) => sum + plot.shares, 0),
          areaM2: own.reduce((sum, plot) => sum + plot.areaM2, 0),
        },
        period: { from: on, to: on },
        seasonStartsOn: group.seasonStartOn,
      })
      for (const line of lines) {
        const every = everyOf(tariffs, line, on === group.seasonStartOn)
        if (!posted.has([payer.accountId, line.kind, every, on].join(' '))) due.push({ payer, line, every })
      }
    }
  }
  return due
}

/** The first days of months and of the season, in order. */
function dueDays(seasonStartOn: CalendarDate, toOn: CalendarDate): CalendarDate[] {
  const days = new Set([seasonStartOn])
  for (let [year, month] = seasonStartOn.split('-').map(Number) as [number, number]; ; month++) {
    if (month > 12) [year, month] = [year + 1, 1]
    const first = `${year}-${String(month).padStart(2, '0')}-01`
    if (first > toOn) break
    if (first >= seasonStartOn) days.add(first)
  }
  return [...days].toSorted()
}

/** A line of the season's first day may be a season fee, or a monthly one where that day is a first. */
function everyOf(tariffs: Awaited<ReturnType<typeof approvedTariffs>>, line: ChargeLine, seasonDay: boolean) {
  const parts = tariffs.filter(({ id }) => id === line.tariffId).flatMap(({ parts: own }) => own)
  const seasonal = parts.some((part) => part.kind === line.kind && 'every' in part && part.every === 'season')
  return seasonDay && seasonal ? ('season' as const) : ('month' as const)
}

/** Posts what is due, worked out again inside the transaction. */
export async function postFees(
  pen: Pen,
  { toOn, onDate, words }: { toOn: CalendarDate; onDate: CalendarDate; words: (due: DueFee) => string },
): Promise<void> {
  const income = await groupAccount(pen.trx, 'fee-income')
  for (const due of await dueFees(pen.trx, { toOn })) {
    const { payer, line, every } = due
    const moved = {
      kind: 'charge',
      debitAccountId: payer.accountId,
      creditAccountId: income,
      amountMinor: line.amountMinor,
      onDate,
      words: words(due),
    } as const
    const { tariffId: tariff_id, kind, quantity, unit, amountMinor: amount_minor } = line
    await addTransfer(
      pen,
      moved,
      { forPersonId: payer.personId },
      {
        charge_line: [{ tariff_id, kind, quantity, unit, amount_minor, estimated: 0 }],
        fixed_fee: [{ account_id: payer.accountId, kind, every, due_on: line.on }],
      },
    )
  }
}
