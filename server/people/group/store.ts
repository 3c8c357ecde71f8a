import type { Selectable } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group, GroupSettings } from '../../../domain/people/group.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
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

const lastGroup = readTogether('group', (db) =>
  db
    .selectFrom('groupSetting')
    .innerJoin('entry', 'entry.id', 'groupSetting.entryId')
    .selectAll('groupSetting')
    .where(standing('groupSetting'))
    .orderBy(asWritten, 'desc')
    .limit(1),
)

async function readGroup(db: Database): Promise<Group | undefined> {
  const row = (await lastGroup(db))[0]
  return row && { ...groupOf(row), marketWeeks: await marketWeeks(db) }
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

export async function setGroup(pen: Pen, group: GroupSettings, fromOn: CalendarDate): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'group-setting' },
    {
      groupSetting: [
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
      ],
    },
  )
}
