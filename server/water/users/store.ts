import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The kinds of users that are counted, in the order of the form. */
export const USER_KINDS = ['person', 'pupil', 'cattle', 'donkey', 'goat-or-sheep'] as const
export type UserKind = (typeof USER_KINDS)[number]

export interface UserCount {
  kind: UserKind
  heads: number
  litresPerHeadDay: number
}

/** Who drinks from one weir, by one count. */
export interface WaterUserSet {
  entryId: string
  weirId: string
  fromOn: string
  users: UserCount[]
}

/** Writes a count of one weir's users; the older count holds for the days before. */
export async function setWaterUsers(
  pen: Pen,
  { weirId, fromOn, users }: { weirId: string; fromOn: string; users: readonly UserCount[] },
): Promise<string> {
  const rows = users.map(({ kind, heads, litresPerHeadDay }) => ({
    weir_id: weirId,
    from_on: fromOn,
    kind,
    heads,
    litres_per_head_day: litresPerHeadDay,
  }))
  return appendEntry(pen, { kind: 'water-users' }, { water_user: rows })
}

/** The count in force on a day, by weir; a weir whose users were never counted is not there. */
export async function waterUsersOn(db: Database, on: string): Promise<Map<string, WaterUserSet>> {
  const rows = await db
    .selectFrom('water_user')
    .innerJoin('entry', 'entry.id', 'water_user.entry_id')
    .selectAll('water_user')
    .select('entry.seq')
    .where(standing('water_user'))
    .execute()
  const found = new Map<string, WaterUserSet>()
  for (const weirId of new Set(rows.map((row) => row.weir_id))) {
    const own = rows.filter((row) => row.weir_id === weirId)
    const last = inForce(own, on)
    if (!last) continue
    const users = own
      .filter((row) => row.entry_id === last.entry_id)
      .map((row) => ({
        kind: row.kind as UserKind,
        heads: row.heads,
        litresPerHeadDay: row.litres_per_head_day,
      }))
    found.set(weirId, { entryId: last.entry_id, weirId, fromOn: last.from_on, users })
  }
  return found
}

interface WaterSetting {
  entryId: string
  fromOn: string
  /** The day by which the rains come even in a late year. */
  lateRainOn: string
  /** A day with more rain than this makes a stretch wet. */
  wetRainMm: number
}

export async function setWaterSetting(pen: Pen, setting: Omit<WaterSetting, 'entryId'>): Promise<string> {
  const row = { from_on: setting.fromOn, late_rain_on: setting.lateRainOn, wet_rain_mm: setting.wetRainMm }
  return appendEntry(pen, { kind: 'water-setting' }, { water_setting: [row] })
}

/** The setting in force on a day; null while there is none. */
export async function waterSettingOn(db: Database, on: string): Promise<WaterSetting | null> {
  const rows = await db
    .selectFrom('water_setting')
    .innerJoin('entry', 'entry.id', 'water_setting.entry_id')
    .selectAll('water_setting')
    .select('entry.seq')
    .where(standing('water_setting'))
    .execute()
  const row = inForce(rows, on)
  if (!row) return null
  return { entryId: row.entry_id, fromOn: row.from_on, lateRainOn: row.late_rain_on, wetRainMm: row.wet_rain_mm }
}
