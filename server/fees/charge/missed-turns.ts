import { group, sum } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { charge } from '../../../domain/fees/charge/charge.ts'
import type { Tariff } from '../../../domain/fees/tariff/tariff.ts'
import { minor } from '../../../domain/money/money.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { outcomesOf, saidOf } from '../../rotation/outcome/store.ts'
import { onTheList } from '../../rotation/published/amendment-store.ts'
import { type Payer, payersOf } from '../payer/store.ts'
import type { DueCharge, MissedTurn } from './due.ts'

interface Posted {
  id: string
  turnId: string
  accountId: string
  /** Above zero charged, below zero given back. */
  amountMinor: number
}

interface MissedInput {
  toOn: CalendarDate
  tariffs: readonly Tariff[]
  payers: ReadonlyMap<string, Payer>
  classOn: (accountId: string, on: CalendarDate) => string | null
}

/**
 * What is due for turns that were left without word, by the `no-show` part of the tariff of their day. A turn that was
 * charged and still counts as not used is left alone, whatever became of tariffs and holders since; one that turned out
 * otherwise (excused, a breakdown, its taker was there after all) is given back by a line that follows the charge.
 */
export async function missedCharges(db: Database, { toOn, tariffs, payers, classOn }: MissedInput) {
  const unused = await turnsNotUsed(db, toOn)
  const posted = group(await postedForTurns(db, payers), (one) => one.turnId)
  const heldMinor = (turnId: string) => sum(posted.get(turnId) ?? [], (one) => one.amountMinor)
  const open = unused.filter(({ turnId }) => heldMinor(turnId) === 0)
  const asDraws = open.map(({ turnId, plotId, on }) => ({ id: turnId, turnId, plotId, onDate: on, takerId: null }))
  const payerOf = await payersOf(db, asDraws, payers)
  const due = open.flatMap((missed): DueCharge[] => {
    const payer = payerOf.get(missed.turnId)
    if (!payer) return []
    const { lines, totalMinor } = noShowLines(missed, tariffs, classOn(payer.accountId, missed.on))
    const nothing = { abstractionId: null, draw: null, followsId: null, reason: '' }
    return totalMinor > 0 ? [{ ...nothing, ...idsOf(payer), missed, lines, differenceMinor: totalMinor }] : []
  })
  const still = new Set(unused.map(({ turnId }) => turnId))
  const over = [...posted.keys()].filter((turnId) => !still.has(turnId) && heldMinor(turnId) > 0)
  return [...due, ...(await givenBack(db, { toOn, over, posted, payers }))]
}

/** Turns of which the last word is that nobody came, and for which nothing was drawn for their own plot. */
async function turnsNotUsed(db: Database, toOn: CalendarDate): Promise<MissedTurn[]> {
  const turns = await db
    .selectFrom('turn')
    .select(['turn.id as turnId', 'turn.plot_id as plotId', 'turn.on_date as on'])
    .where('turn.on_date', '<=', toOn)
    .where('turn.id', 'in', (eb) =>
      eb.selectFrom('turn_outcome').select('turn_outcome.turn_id').where('turn_outcome.cause', '=', 'no-show'),
    )
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select('abstraction.entry_id')
            .whereRef('abstraction.turn_id', '=', 'turn.id')
            .whereRef('abstraction.plot_id', '=', 'turn.plot_id')
            .where('abstraction.volume_m3', '>', 0)
            .where(standing('abstraction')),
        ),
      ),
    )
    .where(standing('turn'))
    .where(onTheList)
    .orderBy('turn.on_date')
    .orderBy('turn.id')
    .execute()
  const ids = turns.map(({ turnId }) => turnId)
  const outcomes = await outcomesOf(db, ids)
  return turns.flatMap(({ plotId, ...turn }) =>
    plotId && saidOf(outcomes, turn.turnId).missed?.cause === 'no-show' ? [{ ...turn, plotId }] : [],
  )
}

async function postedForTurns(db: Database, payers: MissedInput['payers']): Promise<Posted[]> {
  const accounts = new Set([...payers.values()].map(({ accountId }) => accountId))
  const rows = await db
    .selectFrom('missed_turn')
    .innerJoin('transfer', 'transfer.entry_id', 'missed_turn.entry_id')
    .innerJoin('entry', 'entry.id', 'missed_turn.entry_id')
    .select(['entry.id', 'turn_id as turnId', 'debit_account_id', 'credit_account_id', 'amount_minor'])
    .orderBy('entry.seq')
    .execute()
  return rows.map(({ id, turnId, debit_account_id, credit_account_id, amount_minor }) => {
    const debit = accounts.has(debit_account_id)
    const accountId = debit ? debit_account_id : credit_account_id
    return { id, turnId, accountId, amountMinor: debit ? amount_minor : -amount_minor }
  })
}

function noShowLines({ turnId, on }: MissedTurn, tariffs: readonly Tariff[], payerClass: string | null) {
  const abstractions = [{ id: turnId, on, volumeM3: 0, grade: 'measured' as const, noShow: true }]
  const charged = charge({ tariffs, abstractions, payer: { payerClass }, period: { from: on, to: on } })
  const lines = charged.lines.filter(({ kind }) => kind === 'no-show')
  return { lines, totalMinor: minor(sum(lines, ({ amountMinor }) => amountMinor)) }
}

interface Over {
  toOn: CalendarDate
  over: readonly string[]
  posted: ReadonlyMap<string, Posted[]>
  payers: MissedInput['payers']
}

/** Each account gets back what it was charged, in a line that follows the charge. */
async function givenBack(db: Database, { toOn, over, posted, payers }: Over): Promise<DueCharge[]> {
  if (over.length === 0) return []
  const turns = await db
    .selectFrom('turn')
    .select(['id as turnId', 'plot_id as plotId', 'on_date as on'])
    .where('id', 'in', over as string[])
    .execute()
  const outcomes = await outcomesOf(db, over)
  const payerOf = new Map([...payers.values()].map((payer) => [payer.accountId, payer]))
  return turns.flatMap(({ plotId, ...turn }) => {
    if (turn.on > toOn) return []
    const reason = outcomes.findLast((one) => one.turnId === turn.turnId)?.words ?? ''
    return [...group(posted.get(turn.turnId)!, (one) => one.accountId)].flatMap(([accountId, own]): DueCharge[] => {
      const held = sum(own, (one) => one.amountMinor)
      if (held <= 0) return []
      return [
        {
          ...idsOf(payerOf.get(accountId)!),
          abstractionId: null,
          draw: null,
          missed: { ...turn, plotId: plotId ?? '' },
          lines: [],
          differenceMinor: minor(-held),
          followsId: own.findLast((one) => one.amountMinor > 0)!.id,
          reason,
        },
      ]
    })
  })
}

function idsOf({ accountId, personId }: Payer) {
  return { accountId, personId }
}

export interface TurnOfTransfer {
  turnId: string
  on: CalendarDate
  /** From which day on the tariff held by which it was charged; null for a line that gives back. */
  ruleOn: CalendarDate | null
}

/** The turn that each transfer charges or gives back. */
export async function turnsOfTransfers(db: Database): Promise<Map<string, TurnOfTransfer>> {
  const rows = await db
    .selectFrom('missed_turn')
    .innerJoin('turn', 'turn.id', 'missed_turn.turn_id')
    .leftJoin('charge_line', 'charge_line.entry_id', 'missed_turn.entry_id')
    .leftJoin('tariff', 'tariff.entry_id', 'charge_line.tariff_id')
    .select(['missed_turn.entry_id as id', 'turn.id as turnId', 'turn.on_date as on', 'tariff.from_on as ruleOn'])
    .execute()
  return new Map(rows.map(({ id, ...turn }) => [id, turn]))
}
