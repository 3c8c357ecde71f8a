import { group, sum } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { charge } from '../../../domain/fees/charge/charge.ts'
import type { Tariff } from '../../../domain/fees/tariff/tariff.ts'
import type { Id } from '../../../domain/id.ts'
import { minor } from '../../../domain/money/money.ts'
import type { M3 } from '../../../domain/units.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { outcomesOf, saidOf } from '../../rotation/outcome/store.ts'
import { onTheList } from '../../rotation/published/amendment-store.ts'
import { lastHearings, stepOn } from '../missed-turn/store.ts'
import { type Payer, payersOf } from '../payer/store.ts'
import type { DueCharge, MissedTurn } from './due.ts'

interface Posted {
  id: string
  turnId: Id<'turn'>
  accountId: Id<'account'>
  /** Above zero charged, below zero given back. */
  amountMinor: number
}

interface MissedInput {
  toOn: CalendarDate
  tariffs: readonly Tariff[]
  payers: ReadonlyMap<string, Payer>
  classOn: (accountId: Id<'account'>, on: CalendarDate) => string | null
}

/** A turn left without word that costs something by its tariff and is not charged yet, with how far its hearing is. */
export interface WaitingTurn extends MissedTurn {
  step: Exclude<ReturnType<typeof stepOn>, 'settled'>
  hearingId: string | null
}

/**
 * What is due for turns that were left without word, by the part of the tariff of their day for such turns, once it was heard
 * under a second name and its days of appeal are over; the others wait. A turn that was
 * charged and still counts as not used is left alone, whatever became of tariffs and holders since; one that turned out
 * otherwise (excused, a breakdown, its taker was there after all) is given back by a line that follows the charge.
 */
export async function missedCharges(db: Database, { toOn, tariffs, payers, classOn }: MissedInput) {
  const unused = await turnsNotUsed(db, toOn)
  const posted = group(await postedForTurns(db, payers), (one) => one.turnId)
  const heldMinor = (turnId: Id<'turn'>) => sum(posted.get(turnId) ?? [], (one) => one.amountMinor)
  const open = unused.filter(({ turnId }) => heldMinor(turnId) === 0)
  const asDraws = open.map(({ turnId, plotId, on }) => ({ id: turnId, turnId, plotId, onDate: on, takerId: null }))
  const payerOf = await payersOf(db, asDraws, payers)
  const hearings = await lastHearings(db)
  const waiting: WaitingTurn[] = []
  const due = open.flatMap((missed): DueCharge[] => {
    const payer = payerOf.get(missed.turnId)
    if (!payer) return []
    const { lines, totalMinor } = noShowLines(missed, tariffs, classOn(payer.accountId, missed.on))
    if (totalMinor === 0) return []
    const { turnId, plotId, on } = missed
    const hearing = hearings.get(turnId)
    const step = stepOn(hearing, toOn)
    if (step !== 'settled') {
      waiting.push({ turnId, plotId, on, step, hearingId: hearing?.id ?? null })
      return []
    }
    const nothing = { abstractionId: null, draw: null, followsId: null, reason: '' }
    return [{ ...nothing, ...idsOf(payer), missed: { turnId, plotId, on }, lines, differenceMinor: totalMinor }]
  })
  const still = new Set(unused.map(({ turnId }) => turnId))
  const over = [...posted.keys()].filter((turnId) => !still.has(turnId) && heldMinor(turnId) > 0)
  return { due: [...due, ...(await givenBack(db, { toOn, over, posted, payers }))], waiting }
}

interface UnusedTurn extends MissedTurn {
  plannedM3: M3
  pumpHours: number
}

/** Turns of which the last word is that nobody came, and for which nothing was drawn for their own plot. */
async function turnsNotUsed(db: Database, toOn: CalendarDate): Promise<UnusedTurn[]> {
  const turns = await turnsToHear(db, toOn).execute()
  const ids = turns.map(({ turnId }) => turnId)
  const outcomes = await outcomesOf(db, ids)
  return turns.flatMap(({ plotId, turnId, on, volumeM3: plannedM3, startMinute, endMinute }) => {
    if (!plotId || saidOf(outcomes, turnId).missed?.cause !== 'no-show') return []
    return [{ turnId, on, plotId, plannedM3, pumpHours: (endMinute - startMinute) / 60 }]
  })
}

/** Turns of which somebody said that nobody came, and for which nothing was drawn. */
export function turnsToHear(db: Database, toOn: CalendarDate) {
  return db
    .selectFrom('turn')
    .select(['turn.id as turnId', 'turn.plotId', 'turn.onDate as on', 'volumeM3', 'startMinute', 'endMinute'])
    .where('turn.onDate', '<=', toOn)
    .where(standing('turn'))
    .where('turn.id', 'in', (eb) =>
      eb.selectFrom('turnOutcome').select('turnOutcome.turnId').where('turnOutcome.cause', '=', 'no-show'),
    )
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select('abstraction.entryId')
            .whereRef('abstraction.turnId', '=', 'turn.id')
            .whereRef('abstraction.plotId', '=', 'turn.plotId')
            .where('abstraction.volumeM3', '>', 0)
            .where(standing('abstraction')),
        ),
      ),
    )
    .where(standing('turn'))
    .where(onTheList)
    .orderBy('turn.onDate')
    .orderBy('turn.id')
}

const postedRows = readTogether('money', (db) =>
  db
    .selectFrom('missedTurn')
    .innerJoin('transfer', 'transfer.entryId', 'missedTurn.entryId')
    .innerJoin('entry', 'entry.id', 'missedTurn.entryId')
    .select(['entry.id', 'turnId', 'debitAccountId', 'creditAccountId', 'amountMinor'])
    .orderBy(asWritten),
)

async function postedForTurns(db: Database, payers: MissedInput['payers']): Promise<Posted[]> {
  const accounts = new Set([...payers.values()].map(({ accountId }) => accountId))
  const rows = await postedRows(db)
  return rows.map(({ id, turnId, debitAccountId, creditAccountId, amountMinor }) => {
    const debit = accounts.has(debitAccountId)
    const accountId = debit ? debitAccountId : creditAccountId
    return { id, turnId, accountId, amountMinor: debit ? amountMinor : -amountMinor }
  })
}

function noShowLines(missed: UnusedTurn, tariffs: readonly Tariff[], payerClass: string | null) {
  const { turnId, on, plannedM3, pumpHours } = missed
  const unused = { volumeM3: 0, grade: 'measured' as const, noShow: true }
  const abstractions = [{ id: turnId, on, plannedM3, pumpHours, ...unused }]
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
    .select(['id as turnId', 'plotId', 'onDate as on'])
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
  turnId: Id<'turn'>
  on: CalendarDate
  /** From which day on the tariff held by which it was charged; null for a line that gives back. */
  ruleOn: CalendarDate | null
}

/** The turn that each transfer charges or gives back. */
export async function turnsOfTransfers(db: Database): Promise<Map<string, TurnOfTransfer>> {
  const rows = await db
    .selectFrom('missedTurn')
    .innerJoin('turn', 'turn.id', 'missedTurn.turnId')
    .leftJoin('chargeLine', 'chargeLine.entryId', 'missedTurn.entryId')
    .leftJoin('tariff', 'tariff.entryId', 'chargeLine.tariffId')
    .select(['missedTurn.entryId as id', 'turn.id as turnId', 'turn.onDate as on', 'tariff.fromOn as ruleOn'])
    .execute()
  return new Map(rows.map(({ id, ...turn }) => [id, turn]))
}
