import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { holdersOf, householdOfPlot } from './household.ts'

/** Finds persons by the id of an entry. */
export type Find = (db: Database, id: string) => Promise<Id<'person'>[]>

export function personOf(table: 'relief' | 'fine' | 'warning'): Find {
  return async (db, id) => {
    const rows = await db.selectFrom(table).select('personId').where('entryId', '=', id).execute()
    return rows.map(({ personId }) => personId)
  }
}

/** Whom an entry was written about. */
export async function personOfEntry(db: Database, id: string): Promise<Id<'person'>[]> {
  const row = await db.selectFrom('entry').select('forPersonId').where('id', '=', id).executeTakeFirst()
  return row?.forPersonId ? [row.forPersonId] : []
}

/** The members whom a meeting named to put their names under an entry. */
export async function namedByMeeting(db: Database, id: string): Promise<Id<'person'>[]> {
  const rows = await db.selectFrom('meetingNamed').select('personId').where('entryId', '=', id).execute()
  return rows.map(({ personId }) => personId)
}

export function askedFor(table: 'relief', column: 'askedId'): Find
export function askedFor(table: 'cashCount', column: 'secondId'): Find
export function askedFor(table: 'relief' | 'cashCount', column: 'askedId' | 'secondId'): Find {
  return async (db, id) => {
    const rows = await db.selectFrom(table).select(column).where('entryId', '=', id).execute()
    return rows.map((row) => (row as Record<string, string>)[column]!)
  }
}

/** Whoever is paid: the person of a stipend, and anybody of the name that the voucher is made out to. */
export async function payees(db: Database, id: string): Promise<Id<'person'>[]> {
  const rows = await db
    .selectFrom('voucher')
    .innerJoin('person', (join) =>
      join.on(({ eb, fn, or, ref }) =>
        or([
          eb('person.entryId', '=', ref('voucher.stipendPersonId')),
          eb(fn('lower', ['person.name']), '=', fn('lower', ['voucher.payee'])),
        ]),
      ),
    )
    .select('person.entryId')
    .where('voucher.entryId', '=', id)
    .execute()
  return rows.map(({ entryId }) => entryId)
}

/** Both who counted what is to be written off. */
export async function countersOf(db: Database, id: string): Promise<Id<'person'>[]> {
  const rows = await db
    .selectFrom('countDecision')
    .innerJoin('cashCount', 'cashCount.entryId', 'countDecision.countId')
    .innerJoin('entry', 'entry.id', 'cashCount.entryId')
    .select(['cashCount.secondId', 'entry.writtenBy'])
    .where('countDecision.entryId', '=', id)
    .execute()
  return rows.flatMap(({ secondId, writtenBy }) => [secondId, writtenBy])
}

/** Whoever holds the plot of a change by hand in its week. */
export async function holdersOfChange(db: Database, id: string): Promise<Id<'person'>[]> {
  const change = await db
    .selectFrom('turnChange')
    .select(['plotId', 'weekStartOn'])
    .where('entryId', '=', id)
    .executeTakeFirst()
  return change ? holdersOf(db, change.plotId, change.weekStartOn) : []
}

/** Whoever holds the plot of a turn that was left without word. */
export async function holdersOfMissed(db: Database, id: string): Promise<Id<'person'>[]> {
  const row = await db
    .selectFrom('missedHearing')
    .innerJoin('turn', 'turn.id', 'missedHearing.turnId')
    .select(['turn.plotId', 'turn.onDate'])
    .where('missedHearing.entryId', '=', id)
    .executeTakeFirst()
  return row?.plotId ? holdersOf(db, row.plotId, row.onDate) : []
}

/** Whoever holds the plot of a turn that is excused after its hour. */
export async function holdersOfExcused(db: Database, id: string): Promise<Id<'person'>[]> {
  const row = await db
    .selectFrom('turnOutcome')
    .innerJoin('turn', 'turn.id', 'turnOutcome.turnId')
    .select(['turn.plotId', 'turn.onDate'])
    .where('turnOutcome.entryId', '=', id)
    .executeTakeFirst()
  return row?.plotId ? householdOfPlot(db, row.plotId, row.onDate) : []
}

/** Tables of what parts are reckoned by, each with the plot that it is about. */
const OF_PLOTS = [
  'plotDetail',
  'plotHolder',
  'plotHousehold',
  'receivedBefore',
  'cropPlan',
  'plotMulch',
  'plotState',
  'waterRequest',
  'standingRequest',
  'abstraction',
] as const

/** Whoever lives from a plot whose part an entry changes, or changed before it was struck out: on its day and when it was written. */
export async function householdsOfParts(db: Database, id: string): Promise<Id<'person'>[]> {
  const entry = await db
    .selectFrom('entry')
    .select(['writtenAt', 'correctsId'])
    .where('id', '=', id)
    .executeTakeFirstOrThrow()
  const days = [entry.writtenAt.slice(0, 10), ...(await beginningsOf(db, id))]
  const plotIds = await plotsOfParts(db, [id, ...(entry.correctsId ? [entry.correctsId] : [])])
  const found: Id<'person'>[] = []
  for (const plotId of plotIds) for (const day of days) found.push(...(await householdOfPlot(db, plotId, day)))
  return [...new Set(found)]
}

async function beginningsOf(db: Database, id: string): Promise<string[]> {
  const found: string[] = []
  for (const table of ['plotDetail', 'plotHolder', 'plotHousehold'] as const) {
    const rows = await db.selectFrom(table).select('fromOn').where('entryId', '=', id).execute()
    found.push(...rows.map(({ fromOn }) => fromOn))
  }
  return found
}

async function plotsOfParts(db: Database, ids: readonly string[]): Promise<Set<Id<'plot'>>> {
  const found = new Set<Id<'plot'>>()
  const planIds: string[] = []
  for (const table of ['cropEnd', 'planClass', 'planCover'] as const) {
    const rows = await db.selectFrom(table).select('planId').where('entryId', 'in', ids).execute()
    planIds.push(...rows.map(({ planId }) => planId))
  }
  for (const table of OF_PLOTS) {
    const of = table === 'cropPlan' ? [...ids, ...planIds] : ids
    const rows = await db.selectFrom(table).select('plotId').where('entryId', 'in', of).execute()
    for (const { plotId } of rows) if (plotId !== null) found.add(plotId)
  }
  return found
}

/** Whoever is said to have agreed to a swap, with all who hold that plot. */
export async function holdersOfConsent(db: Database, id: string): Promise<Id<'person'>[]> {
  const row = await db
    .selectFrom('swapConsent')
    .innerJoin('entry', 'entry.id', 'swapConsent.entryId')
    .select(['plotId', 'personId', 'entry.writtenAt'])
    .where('swapConsent.entryId', '=', id)
    .executeTakeFirst()
  return row ? [row.personId, ...(await holdersOf(db, row.plotId, row.writtenAt.slice(0, 10)))] : []
}

/** Whoever takes or gives for what somebody else is said to have agreed to: the household of the other plot of the swap. */
export async function gainersOfConsent(db: Database, id: string): Promise<Id<'person'>[]> {
  const row = await db
    .selectFrom('swapConsent')
    .innerJoin('turnSwap', 'turnSwap.entryId', 'swapConsent.swapId')
    .innerJoin('turn', 'turn.id', 'turnSwap.turnId')
    .innerJoin('entry', 'entry.id', 'swapConsent.entryId')
    .select(['swapConsent.plotId', 'turnSwap.toPlotId', 'turn.plotId as fromPlotId', 'turn.onDate'])
    .where('swapConsent.entryId', '=', id)
    .executeTakeFirst()
  if (!row) return []
  const other = row.plotId === row.toPlotId ? row.fromPlotId : row.toPlotId
  return other === null ? [] : householdOfPlot(db, other, row.onDate)
}

/** Of the two of a handover whoever did not write it. */
export async function otherOfHandover(db: Database, id: string): Promise<Id<'person'>[]> {
  const rows = await db
    .selectFrom('handover')
    .innerJoin('entry', 'entry.id', 'handover.entryId')
    .select(['giverId', 'takerId', 'entry.writtenBy'])
    .where('entryId', '=', id)
    .execute()
  return rows.flatMap(({ giverId, takerId, writtenBy }) => [giverId, takerId].filter((one) => one !== writtenBy))
}

/** The tenant whose arrears they are, and the owner who is charged with them. */
export async function bothOfMove(db: Database, id: string): Promise<Id<'person'>[]> {
  const rows = await db.selectFrom('arrearsMove').select(['tenantId', 'ownerId']).where('entryId', '=', id).execute()
  return rows.flatMap(({ tenantId, ownerId }) => [tenantId, ownerId])
}
