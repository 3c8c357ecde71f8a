import { type CalendarDate, weekdayOf } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { actOf } from '../../book/names/acts.ts'
import { namesByEntry } from '../../book/names/approvals.ts'
import { listWithheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listWeirs } from '../weir/store.ts'
import { streamShareOn } from './store.ts'

/** A day on which weirs rest: nothing is to be drawn from them for crops. */
export interface RestDay {
  on: CalendarDate
  weirIds: Id<'weir'>[]
  /** True where every weir of the group rests. */
  isAll: boolean
  /** The rule in the group's own words. */
  words: string | null
}

/** One rest day that somebody asks to set aside, for one weir or for all that rest on it. */
export interface SetAside {
  id: string
  on: CalendarDate
  weirId: Id<'weir'> | null
  reason: string
  byId: Id<'person'>
  byName: string
  /** Of those who have agreed to it. */
  names: string[]
  /** Declined, or withdrawn by its writer. */
  isWithheld: boolean
  /** It has the two other names that it needs. */
  holds: boolean
}

/** The rest days among some days, by what is settled for each; what two other names have set aside is no rest day. */
export async function restDaysAmong(db: Database, days: readonly CalendarDate[]): Promise<RestDay[]> {
  const weirIds = (await listWeirs(db)).map(({ id }) => id)
  const aside = (await listSetAsides(db)).filter(({ holds }) => holds)
  const rests: RestDay[] = []
  for (const on of days) {
    const rest = await settledRest(db, on, weirIds)
    const resting = rest?.weirIds.filter((id) => !aside.some((one) => one.on === on && (one.weirId ?? id) === id)) ?? []
    if (rest && resting.length > 0) rests.push({ ...rest, weirIds: resting, isAll: resting.length === weirIds.length })
  }
  return rests
}

/** What the settled rule says of a day, whatever was set aside; null for a day on which nothing rests. */
export async function settledRest(
  db: Database,
  on: CalendarDate,
  allWeirIds: readonly Id<'weir'>[],
): Promise<RestDay | null> {
  const share = await streamShareOn(db, on)
  if (!share?.restDays.includes(weekdayOf(on))) return null
  const weirIds = allWeirIds.filter((id) => share.restWeirIds.length === 0 || share.restWeirIds.includes(id))
  return { on, weirIds, isAll: weirIds.length === allWeirIds.length, words: share.words }
}

export async function addSetAside(pen: Pen, one: Pick<SetAside, 'on' | 'weirId' | 'reason'>): Promise<string> {
  const row = { onDate: one.on, weirId: one.weirId, reason: one.reason }
  return appendEntry(pen, { kind: 'rest-set-aside', reason: one.reason }, { restSetAside: [row] })
}

const setAsideRows = readTogether('water', (db) =>
  db
    .selectFrom('restSetAside')
    .innerJoin('entry', 'entry.id', 'restSetAside.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['restSetAside.entryId as id', 'onDate as on', 'weirId', 'restSetAside.reason'])
    .select(['entry.writtenBy as byId', 'person.name as byName'])
    .where(standing('restSetAside'))
    .orderBy('onDate', 'desc'),
)

/** The newest day first. */
export async function listSetAsides(db: Database): Promise<SetAside[]> {
  const rows = await setAsideRows(db)
  const given = await namesByEntry(db)
  const withheld = await listWithheld(db)
  return rows.map((row) => {
    const names = (given.get(row.id) ?? []).map(({ name }) => name)
    const isWithheld = withheld.has(row.id)
    return { ...row, names, isWithheld, holds: !isWithheld && names.length >= actOf('rest-set-aside').names }
  })
}
