import type { Selectable } from 'kysely'
import type { Group } from '../../../domain/people/group.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'

export async function bookIsEmpty(db: Database): Promise<boolean> {
  return (await db.selectFrom('entry').select('id').limit(1).executeTakeFirst()) === undefined
}

/** The settings in force; the last written wins, since a season's settings are set for the whole season. */
export async function currentGroup(db: Database): Promise<Group | undefined> {
  const row = await db
    .selectFrom('group_setting')
    .innerJoin('entry', 'entry.id', 'group_setting.entry_id')
    .selectAll('group_setting')
    .where(standing('group_setting'))
    .orderBy('entry.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row && groupOf(row)
}

function groupOf(row: Selectable<FactTables['group_setting']>): Group {
  return {
    name: row.name,
    latitudeDeg: row.latitude_deg,
    longitudeDeg: row.longitude_deg,
    elevationM: row.elevation_m,
    timeZone: row.time_zone,
    currency: row.currency,
    firstWeekday: row.first_weekday as Group['firstWeekday'],
    seasonStartOn: row.season_start_on,
    seasonEndOn: row.season_end_on,
  }
}

export async function setGroup(pen: Pen, group: Group, fromOn: string): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'group-setting' },
    {
      group_setting: [
        {
          from_on: fromOn,
          name: group.name,
          latitude_deg: group.latitudeDeg,
          longitude_deg: group.longitudeDeg,
          elevation_m: group.elevationM,
          time_zone: group.timeZone,
          currency: group.currency,
          first_weekday: group.firstWeekday,
          season_start_on: group.seasonStartOn,
          season_end_on: group.seasonEndOn,
        },
      ],
    },
  )
}
