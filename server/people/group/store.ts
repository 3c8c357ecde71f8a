import type { Selectable } from 'kysely'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Group, GroupSettings } from '../../../domain/people/group.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { marketWeeks } from '../market-week/store.ts'

export function bookIsEmpty(db: Database): Promise<boolean> {
  return kept(
    db,
    'empty',
    null,
    async () => (await db.selectFrom('entry').select('id').limit(1).executeTakeFirst()) === undefined,
  )
}

/** The settings in force; the last written wins, since a season's settings are set for the whole season. */
export function currentGroup(db: Database): Promise<Group | undefined> {
  return kept(db, 'group', null, () => readGroup(db))
}

/** All that stand, the last first. One that needed another officer's name holds from that name on. */
const standingGroups = readTogether('group', (db) =>
  db
    .selectFrom('groupSetting')
    .innerJoin('entry', 'entry.id', 'groupSetting.entryId')
    .leftJoin('approval', 'approval.subjectId', 'groupSetting.entryId')
    .leftJoin('entry as named', 'named.id', 'approval.entryId')
    .selectAll('groupSetting')
    .select(['entry.writtenAt', 'named.writtenAt as namedAt'])
    .where(standing('groupSetting'))
    .orderBy(asWritten, 'desc'),
)

async function readGroup(db: Database): Promise<Group | undefined> {
  const row = (await standingGroups(db))[0]
  return row && { ...groupOf(row), marketWeeks: await marketWeeks(db) }
}

/** The clock by which something was agreed at a moment, whatever was settled since; undefined before the group had any. */
export async function timeZoneAt(db: Database, at: Instant): Promise<string | undefined> {
  const rows = await standingGroups(db)
  return (rows.find(({ writtenAt, namedAt }) => (namedAt ?? writtenAt) <= at) ?? rows.at(-1))?.timeZone
}

function groupOf(row: Selectable<FactTables['groupSetting']>): GroupSettings {
  return {
    name: row.name,
    latitudeDeg: row.latitudeDeg,
    longitudeDeg: row.longitudeDeg,
    elevationM: row.elevationM,
    timeZone: row.timeZone,
    currency: row.currency,
    firstWeekday: row.firstWeekday as GroupSettings['firstWeekday'],
    seasonStartOn: row.seasonStartOn,
    seasonEndOn: row.seasonEndOn,
  }
}

/** Whether other settings than the name of the group are typed: days, needs and the season's shares are reckoned by them. */
function movesWater({ name: _, ...before }: GroupSettings, { name: __, ...after }: GroupSettings): boolean {
  return (Object.keys(after) as (keyof typeof after)[]).some((field) => before[field] !== after[field])
}

/** Once the book is no longer new, all but another name for the group holds only with the name of a second officer. */
export async function asksForName(
  db: Database,
  { before, after, at }: { before: GroupSettings; after: GroupSettings; at: Date },
): Promise<boolean> {
  return movesWater(before, after) && !(await isNewBook(db, at.toISOString()))
}

export async function setGroup(
  pen: Pen,
  group: GroupSettings,
  fromOn: CalendarDate,
  beside: Facts = {},
): Promise<string> {
  const groupSetting = [
    {
      fromOn,
      name: group.name,
      latitudeDeg: group.latitudeDeg,
      longitudeDeg: group.longitudeDeg,
      elevationM: group.elevationM,
      timeZone: group.timeZone,
      currency: group.currency,
      firstWeekday: group.firstWeekday,
      seasonStartOn: group.seasonStartOn,
      seasonEndOn: group.seasonEndOn,
    },
  ]
  return appendEntry(pen, { kind: 'group-setting' }, { groupSetting, ...beside })
}

export interface GroupChange {
  id: string
  before: GroupSettings
  after: GroupSettings
  writerName: string
  writtenAt: Instant
  /** False while it waits for its second name, and where it was declined or withdrawn. */
  stands: boolean
}

/** Every change of the settings, by its entry, beside what held when it was written; what nobody named is among them. */
export async function groupChanges(db: Database): Promise<ReadonlyMap<string, GroupChange>> {
  const rows = await db
    .selectFrom('groupSetting')
    .innerJoin('entry', 'entry.id', 'groupSetting.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('groupSetting')
    .select(['entry.writtenAt', 'person.name as writerName', standing('groupSetting').as('stands')])
    .orderBy(asWritten)
    .execute()
  return new Map(
    rows.flatMap((row, at) => {
      const before = rows.findLast((one, index) => index < at && one.stands)
      const { entryId: id, writerName, writtenAt } = row
      const stands = Boolean(row.stands)
      return before ? [[id, { id, before: groupOf(before), after: groupOf(row), writerName, writtenAt, stands }]] : []
    }),
  )
}
