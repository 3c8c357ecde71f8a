import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { numberKey } from '../../../domain/people/decision.ts'
import type { Database } from '../../database/connection.ts'
import type { Facts } from '../entries.ts'
import { standing } from '../standing.ts'

/** Beside the facts of an act: the minute on which it rests, where one was given. */
export function restingOn(minute: string | null): Pick<Facts, 'restsOn'> {
  return minute === null ? {} : { restsOn: [{ number: minute }] }
}

/** An act that names a minute. */
interface Resting {
  id: string
  /** The minute as the act names it, and what it has in common with other writings of it. */
  number: string
  key: string
  kind: string
  /** What its page is about: mostly the act itself. */
  aboutId: string
  forPersonId: Id<'person'> | null
  writtenAt: Instant
  writerName: string
}

/** Every act that stands and names a minute, in the order of writing. Some have a column of their own for it. */
export async function actsResting(db: Database): Promise<Resting[]> {
  const named = [
    ...(await db
      .selectFrom('restsOn')
      .leftJoin('complaintHearing', 'complaintHearing.entryId', 'restsOn.entryId')
      .leftJoin('applicantEnd', 'applicantEnd.entryId', 'restsOn.entryId')
      .leftJoin('plotSplit', 'plotSplit.entryId', 'restsOn.entryId')
      .select(['restsOn.entryId', 'number'])
      .select((eb) =>
        eb.fn
          .coalesce(
            'complaintHearing.complaintId',
            'plotSplit.newPlotId',
            'applicantEnd.applicantId',
            'restsOn.entryId',
          )
          .as('aboutId'),
      )
      .where(standing('restsOn'))
      .execute()),
    ...(await db
      .selectFrom('relief')
      .select(['entryId', 'minute as number', 'entryId as aboutId'])
      .where(standing('relief'))
      .execute()),
    ...(await db
      .selectFrom('kindRate')
      .select(['entryId', 'minute as number', 'entryId as aboutId'])
      .where(standing('kindRate'))
      .execute()),
    ...(await db
      .selectFrom('countDecision')
      .select(['entryId', 'minute as number', 'countId as aboutId'])
      .where('minute', 'is not', null)
      .where(standing('countDecision'))
      .execute()),
  ]
  const heads = await db
    .selectFrom('entry')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.kind', 'entry.forPersonId', 'entry.writtenAt', 'person.name as writerName'])
    .where(
      'entry.id',
      'in',
      named.map(({ entryId }) => entryId),
    )
    .orderBy('entry.seq')
    .execute()
  return heads.map((head) => {
    const { number, aboutId } = named.find(({ entryId }) => entryId === head.id)!
    return { ...head, number: number!, key: numberKey(number!), aboutId }
  })
}
