import { group } from 'd3-array'
import { DateTime } from 'luxon'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { kept } from '../kept-answers.ts'
import { readTogether } from '../register/together.ts'
import { asWritten, inForce, standing } from '../standing.ts'
import { isNewBook } from './first-days.ts'

/** So long everybody can see who was written in before that person's name counts. The group's own choice, no source. */
const DAYS_SEEN = 7

/**
 * Why nobody's second name is this person's, whatever it is about: written in or given an office less than seven days ago, unless by
 * a minute of the meeting or while the book was new; or gone. Null when nothing is in the way.
 */
export async function notCounting(db: Database, personId: Id<'person'>, at: Instant): Promise<string | null> {
  if (await hasLeft(db, personId, await dayOf(db, at))) return 'approval-left'
  const rows = await db
    .selectFrom('entry')
    .leftJoin('restsOn', 'restsOn.entryId', 'entry.id')
    .select(['entry.id', 'entry.writtenAt', 'restsOn.number as minute'])
    .where(({ eb, and, or, exists, selectFrom }) =>
      or([
        eb('entry.id', '=', personId),
        and([
          eb('entry.kind', '=', 'office-given'),
          eb('entry.forPersonId', '=', personId),
          exists(
            selectFrom('personRole')
              .select('role')
              .whereRef('personRole.entryId', '=', 'entry.id')
              .where(standing('personRole')),
          ),
        ]),
      ]),
    )
    .orderBy(asWritten, 'desc')
    .execute()
  const last = rows[0]
  // The meeting that gave somebody an office knows the person too.
  if (!last || last.minute !== null) return null
  for (const row of rows) if (row.minute === null && (await isRecent(db, row.writtenAt, at))) return 'approval-too-new'
  return null
}

const zones = readTogether('group', (db) =>
  db
    .selectFrom('groupSetting')
    .innerJoin('entry', 'entry.id', 'groupSetting.entryId')
    .select('timeZone')
    .where(standing('groupSetting'))
    .orderBy(asWritten, 'desc'),
)

/** The day of a moment where the group lives: west of Greenwich tomorrow's begins there in the evening, and nobody has left by then. */
async function dayOf(db: Database, at: Instant): Promise<string> {
  const zone = (await zones(db))[0]?.timeZone
  return zone === undefined ? at.slice(0, 10) : DateTime.fromISO(at, { zone }).toISODate()!
}

async function isRecent(db: Database, writtenAt: Instant, at: Instant): Promise<boolean> {
  const days = (Date.parse(at) - Date.parse(writtenAt)) / 86_400_000
  return days < DAYS_SEEN && !(await isNewBook(db, writtenAt))
}

/** Whether somebody has left the group, or died, on a day. */
export async function hasLeft(db: Database, personId: Id<'person'>, on: string): Promise<boolean> {
  return (await leftOn(db, on)).has(personId)
}

const leavings = readTogether('group', (db) =>
  db
    .selectFrom('personLeft')
    .innerJoin('entry', 'entry.id', 'personLeft.entryId')
    .select(['personId', 'fromOn', 'isBack', 'seq'])
    .where(standing('personLeft')),
)

/** Everybody who has left by a day and is not back. */
export function leftOn(db: Database, on: string): Promise<ReadonlySet<string>> {
  return kept(db, 'who has left', on, async () => {
    const rows = await leavings(db)
    const ofEach = [...group(rows, ({ personId }) => personId)]
    return new Set(ofEach.filter(([, own]) => inForce(own, on)?.isBack === 0).map(([personId]) => personId))
  })
}
