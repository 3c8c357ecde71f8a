import { type Instant, isCalendarDate } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import { type Database, openDatabase } from '../../database/connection.ts'
import { withoutLog } from '../../database/file/book-file.ts'
import { migrateToLatest, stepsOf } from '../../database/migrate.ts'
import { inspectBook } from '../check/inspect.ts'
import type { Fault } from '../check/make.ts'
import { readBook, type WholeEntry } from '../merge/whole-entry.ts'
import { isOfItsKind } from '../rules/own-kind.ts'

/** Rain is pasted in from the last century on; terms and shares are set for some decades at most. Own choice, no source. */
const FIRST_YEAR = '1850'
const LAST_YEAR = '2150'
/** Two devices whose clocks part by less are both believed. */
const AHEAD_MS = 24 * 3_600_000

/** What a program may have written wrong by itself, and nobody need have forged. */
const HARMLESS: readonly Fault['code'][] = ['identity', 'dangling']

/**
 * The book of another device from the bytes of its file, as a copy in memory brought up to date; whoever opens it closes it.
 * Throws InputError `merge-no-book` for a file of another kind, `merge-newer` for one of a newer version, `merge-damaged` for one
 * that cannot be read to its end, `merge-changed` for what was changed outside the app and for an entry that is not what its kind says, `merge-moment` for days and moments that cannot be.
 */
export async function openOtherBook(bytes: Buffer, now: Date): Promise<Database> {
  const db = await openedOrRefused(withoutLog(bytes))
  try {
    await mustBeWhole(db)
    const entries = await readBook(db)
    const other = entries.find(
      ({ entry, facts }) =>
        !isOfItsKind(
          entry.kind,
          facts.map(([table]) => table),
        ),
    )
    if (other) throw new InputError('merge-changed', { entry: other.entry.id })
    const odd = impossibleMoment(entries, now)
    if (odd) throw new InputError('merge-moment', { entry: odd.id, what: odd.what })
    return db
  } catch (error) {
    await db.destroy()
    throw error instanceof InputError ? error : new InputError('merge-damaged')
  }
}

async function openedOrRefused(copy: Buffer): Promise<Database> {
  let db: Database | undefined
  try {
    db = openDatabase(copy)
    const { taken, known } = await stepsOf(db)
    if (taken.some((step) => step > known.at(-1)!)) throw new InputError('merge-newer')
    await migrateToLatest(db)
    return db
  } catch (error) {
    await db?.destroy()
    const isDamaged = String((error as { code?: unknown }).code).startsWith('SQLITE_CORRUPT')
    throw error instanceof InputError ? error : new InputError(isDamaged ? 'merge-damaged' : 'merge-no-book')
  }
}

async function mustBeWhole(db: Database): Promise<void> {
  const { faults } = await inspectBook(db)
  const found = faults.find(({ code }) => !HARMLESS.includes(code))
  if (!found) return
  const { id, what, entry, step } = found.values
  if (found.code === 'damaged') throw new InputError('merge-damaged')
  throw new InputError('merge-changed', { entry: id ?? what ?? entry ?? step ?? '' })
}

interface Impossible {
  id: string
  what: string
}

/**
 * The first entry with a day that is none, a moment that is none or a year that cannot be, or that says it was written after now;
 * null where there is none. A machine whose clock was in doubt may have shown anything.
 */
function impossibleMoment(entries: readonly WholeEntry[], now: Date): Impossible | null {
  const latest = new Date(now.getTime() + AHEAD_MS).toISOString()
  for (const { entry, facts } of entries) {
    if (!isMoment(entry.writtenAt) || entry.writtenAt > latest) return { id: entry.id, what: entry.writtenAt }
    for (const row of [{ happenedAt: entry.happenedAt }, ...facts.map(([, fact]) => fact)]) {
      const odd = Object.entries(row).find(([name, value]) => value !== null && !canBe(name, String(value)))
      if (odd) return { id: entry.id, what: String(odd[1]) }
    }
  }
  return null
}

function canBe(name: string, value: string): boolean {
  if (name.endsWith('On') || name.endsWith('Date')) return isCalendarDate(value) && isYear(value)
  return !name.endsWith('At') || name === 'machineAt' || isMoment(value)
}

function isMoment(text: Instant): boolean {
  const ms = Date.parse(text)
  const isWritten = /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?Z$/.test(text) && !Number.isNaN(ms)
  // The 30th of February is read as a day of March.
  return isWritten && new Date(ms).toISOString().slice(0, 10) === text.slice(0, 10) && isYear(text)
}

function isYear(text: string): boolean {
  return text.slice(0, 4) >= FIRST_YEAR && text.slice(0, 4) <= LAST_YEAR
}
