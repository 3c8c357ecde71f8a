import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { DrinkingCaution } from '../../../domain/water/path/reserve.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
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
  weirId: Id<'weir'>
  fromOn: CalendarDate
  users: UserCount[]
}

/** Writes a count of one weir's users; the older count holds for the days before. */
export async function setWaterUsers(
  pen: Pen,
  { weirId, fromOn, users }: { weirId: Id<'weir'>; fromOn: CalendarDate; users: readonly UserCount[] },
): Promise<string> {
  const rows = users.map(({ kind, heads, litresPerHeadDay }) => ({
    weirId,
    fromOn,
    kind,
    heads,
    litresPerHeadDay,
  }))
  return appendEntry(pen, { kind: 'water-users' }, { waterUser: rows })
}

const userRows = readTogether('water', (db) =>
  db
    .selectFrom('waterUser')
    .innerJoin('entry', 'entry.id', 'waterUser.entryId')
    .selectAll('waterUser')
    .select('entry.seq')
    .where(standing('waterUser')),
)

/** The count in force on a day, by weir; a weir whose users were never counted is not there. */
export async function waterUsersOn(db: Database, on: string): Promise<Map<string, WaterUserSet>> {
  const rows = await userRows(db)
  const found = new Map<string, WaterUserSet>()
  for (const weirId of new Set(rows.map((row) => row.weirId))) {
    const own = rows.filter((row) => row.weirId === weirId)
    const last = inForce(own, on)
    if (!last) continue
    const users = own
      .filter((row) => row.entryId === last.entryId)
      .map((row) => ({
        kind: row.kind as UserKind,
        heads: row.heads,
        litresPerHeadDay: row.litresPerHeadDay,
      }))
    found.set(weirId, { entryId: last.entryId, weirId, fromOn: last.fromOn, users })
  }
  return found
}

/** How careful the group is with its drinking water, as it said in plain words. */
export interface CautionSet extends DrinkingCaution {
  entryId: string
  fromOn: CalendarDate
}

export async function setDrinkingCaution(pen: Pen, caution: Omit<CautionSet, 'entryId'>): Promise<string> {
  const { fromOn, rememberedWeeks, fetchWeeks } = caution
  const row = { fromOn, rememberedWeeks, fetchWeeks }
  return appendEntry(pen, { kind: 'drinking-caution' }, { drinkingCaution: [row] })
}

const cautionRows = readTogether('water', (db) =>
  db
    .selectFrom('drinkingCaution')
    .innerJoin('entry', 'entry.id', 'drinkingCaution.entryId')
    .selectAll('drinkingCaution')
    .select('entry.seq')
    .where(standing('drinkingCaution')),
)

/** What the group said, in force on a day; null while it has said nothing, and then it is taken to be careful. */
export async function drinkingCautionOn(db: Database, on: string): Promise<CautionSet | null> {
  const rows = await cautionRows(db)
  const row = inForce(rows, on)
  if (!row) return null
  const { entryId, fromOn, rememberedWeeks, fetchWeeks } = row
  return { entryId, fromOn, rememberedWeeks, fetchWeeks }
}

interface WaterSetting {
  entryId: string
  fromOn: CalendarDate
  /** The day by which the rains come even in a late year. */
  lateRainOn: CalendarDate
  /** A day with more rain than this makes a stretch wet. */
  wetRainMm: number
}

export async function setWaterSetting(pen: Pen, setting: Omit<WaterSetting, 'entryId'>): Promise<string> {
  const row = { fromOn: setting.fromOn, lateRainOn: setting.lateRainOn, wetRainMm: setting.wetRainMm }
  return appendEntry(pen, { kind: 'water-setting' }, { waterSetting: [row] })
}

const settingRows = readTogether('water', (db) =>
  db
    .selectFrom('waterSetting')
    .innerJoin('entry', 'entry.id', 'waterSetting.entryId')
    .selectAll('waterSetting')
    .select('entry.seq')
    .where(standing('waterSetting')),
)

/** The setting in force on a day; null while there is none. */
export async function waterSettingOn(db: Database, on: string): Promise<WaterSetting | null> {
  const rows = await settingRows(db)
  const row = inForce(rows, on)
  if (!row) return null
  return { entryId: row.entryId, fromOn: row.fromOn, lateRainOn: row.lateRainOn, wetRainMm: row.wetRainMm }
}
