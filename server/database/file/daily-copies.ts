import { existsSync, mkdirSync, readdirSync, rmSync } from 'node:fs'
import { basename, join } from 'node:path'
import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { readClock } from '../../book/clock.ts'
import type { Database } from '../connection.ts'
import { writeCopy } from './write-copy.ts'

/** Each of so many days, then one a week up to so many days, then one a month. Common practice, no source. */
const EACH_DAYS = 14
const WEEKLY_DAYS = 90

export interface Copies {
  /** Where they lie: a folder, or a stick. */
  folder: string
  /** The book that is copied. */
  place: string
}

/**
 * A copy of each day of its own accord, and of older ones fewer; nothing where today has its copy. By a clock that cannot be right
 * every copy may seem old: then none is struck. The file, or null.
 */
export async function copyDaily(db: Database, copies: Copies, now: Date): Promise<string | null> {
  const today = now.toISOString().slice(0, 10)
  const file = join(copies.folder, nameOf(copies, today))
  if (existsSync(file)) return null
  mkdirSync(copies.folder, { recursive: true })
  await writeCopy(db, file)
  const { doubt } = await readClock(db, now)
  if (doubt !== null) return file
  for (const day of tooMany(daysCopied(copies), today)) rmSync(join(copies.folder, nameOf(copies, day)))
  return file
}

/** The days that have a copy, the first first; none where the folder is not there, as a stick that is not in. */
export function daysCopied({ folder, place }: Copies): CalendarDate[] {
  if (!existsSync(folder)) return []
  const own = `${basename(place, '.sqlite')}-`
  return readdirSync(folder)
    .filter((name) => name.startsWith(own) && /^\d{4}-\d\d-\d\d\.sqlite$/.test(name.slice(own.length)))
    .map((name) => name.slice(own.length, own.length + 10))
    .sort()
}

function nameOf({ place }: Copies, day: CalendarDate): string {
  return `${basename(place, '.sqlite')}-${day}.sqlite`
}

/** Of each older week and month the first copy stays. */
function tooMany(days: readonly CalendarDate[], today: CalendarDate): CalendarDate[] {
  const kept = new Set<string>()
  return days.filter((day) => {
    const age = daysBetween(day, today)
    if (age < EACH_DAYS) return false
    const span = age < WEEKLY_DAYS ? `week ${Math.floor(daysBetween('2000-01-03', day) / 7)}` : day.slice(0, 7)
    const drops = kept.has(span)
    kept.add(span)
    return drops
  })
}
