import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { householdOf } from '../../../domain/people/household.ts'
import { householdFacts } from '../../book/names/household.ts'
import { standing } from '../../book/standing.ts'
import { holderIdsOn } from '../../people/plot/store.ts'
import { requestDetails } from '../request/detail-store.ts'
import { requestsFor } from '../request/store.ts'
import { change, isSince, type Since, type WrittenChange } from './written-change.ts'

type Place = Pick<Since, 'db' | 'seq' | 'unknown'>

export function endedRequests(since: Place) {
  return since.db
    .selectFrom('standingRequest')
    .innerJoin('entry', 'entry.id', 'standingRequest.entryId')
    .select(['standingRequest.entryId', 'plotId', 'untilOn as on', 'entry.writtenBy'])
    .where(isSince(since))
    .where('untilOn', 'is not', null)
    .where(standing('standingRequest'))
}

/** What cuts a plot's part and was not asked by whoever holds it: so much and no more, hours that cannot be, or no longer anything. */
export async function askedForOthers(since: Since): Promise<WrittenChange[]> {
  const { db, weekStartOn } = since
  const holders = await holderIdsOn(db, weekStartOn)
  const isOthers = (plotId: Id<'plot'>, byId: string) => !(holders.get(plotId) ?? []).includes(byId)
  const asked = (await requestsFor(db, weekStartOn)).filter((one) => isOthers(one.plotId, one.askedById))
  const details = await requestDetails(
    db,
    asked.map(({ id }) => id),
  )
  const cuts = asked.filter(
    ({ id, volumeM3 }) => volumeM3 !== null || details.get(id)?.times.some(({ kind }) => kind === 'impossible'),
  )
  const ended = await endedRequests(since).execute()
  const lasting = await db
    .selectFrom('entry')
    .select('id')
    .where(({ not }) => not(isSince(since)))
    .where('kind', '=', 'standing-request')
    .execute()
  const told = new Set(lasting.map(({ id }) => id))
  const href = '/turns/asked'
  return [
    ...cuts
      .filter(({ id }) => !told.has(id))
      .map(({ id, plotId, volumeM3 }) =>
        change(volumeM3 === null ? 'asked-hours' : 'asked', { entryId: id, plotId, is: volumeM3, href }),
      ),
    ...ended
      .filter(({ plotId, writtenBy }) => isOthers(plotId, writtenBy))
      .map(({ writtenBy: _, ...row }) => change('asked-end', { ...row, href })),
  ]
}

/** Hours without turns that were written or struck out for somebody else, at each plot of that person. */
export async function freeHours(since: Since): Promise<WrittenChange[]> {
  const holders = await holderIdsOn(since.db, since.weekStartOn)
  return (await hoursForOthers(since)).flatMap(({ entryId, on, personId }) =>
    // What the whole group keeps free is nobody's hours, and shuts the week for all.
    personId === null
      ? [change('setting', { entryId, on, plotId: null, href: '/works', setting: 'noTurnCustom' })]
      : [...holders].flatMap(([plotId, ids]) =>
          ids.includes(personId) ? [change('hours', { entryId, on, plotId, href: '/works' })] : [],
        ),
  )
}

interface HoursForOthers {
  entryId: string
  on: CalendarDate | null
  /** Null for what the whole group keeps free. */
  personId: Id<'person'> | null
}

export function hoursWritten(since: Place) {
  return since.db
    .selectFrom('entry')
    .leftJoin('entry as old', 'old.id', 'entry.correctsId')
    .leftJoin('noTurnHours', 'noTurnHours.entryId', 'entry.id')
    .leftJoin('noTurnCustom', 'noTurnCustom.entryId', 'entry.id')
    .select(['entry.id', 'entry.writtenBy', 'entry.writtenAt', 'entry.forPersonId', 'old.forPersonId as oldForId'])
    .select(['noTurnHours.fromOn as hoursOn', 'noTurnCustom.fromOn as customOn'])
    .where(isSince(since))
    .where('entry.kind', 'in', ['no-turn-hours', 'no-turn-custom'])
}

/**
 * Hours without turns that were written for somebody of another household, or struck out there: they cut what that household can get, and
 * who struck them may send water to hours at which nobody is there.
 */
async function hoursForOthers(since: Place): Promise<HoursForOthers[]> {
  const rows = await hoursWritten(since).execute()
  const facts = await householdFacts(since.db)
  return rows.flatMap(({ id, writtenBy, writtenAt, forPersonId, oldForId, hoursOn, customOn }) => {
    const personId = forPersonId ?? oldForId
    const day = writtenAt.slice(0, 10)
    if (personId !== null && householdOf(facts, [writtenBy], day).includes(personId)) return []
    return [{ entryId: id, on: hoursOn ?? customOn, personId }]
  })
}

export function ticksWritten(since: Place) {
  return since.db
    .selectFrom('turnListServed')
    .innerJoin('entry', 'entry.id', 'turnListServed.entryId')
    .select(['turnListServed.entryId', 'turnListServed.pumpId', 'plotId', 'onDate as on'])
    .where(isSince(since))
    .where(standing('turnListServed'))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select('abstraction.entryId')
            .whereRef('abstraction.plotId', '=', 'turnListServed.plotId')
            .whereRef('abstraction.onDate', '=', 'turnListServed.onDate')
            .where(standing('abstraction')),
        ),
      ),
    )
}

/** Ticks on the list of a pump that nothing in the log bears out: the plot loses its place in the row without having had water. */
export async function tickedUnlogged(since: Since): Promise<WrittenChange[]> {
  const rows = await ticksWritten(since).execute()
  return rows.map(({ pumpId, ...row }) => change('ticked', { ...row, href: `/turns/lists/${pumpId}` }))
}
