import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Measure, MeasureKind, Vessel } from '../../../domain/people/measure.ts'
import { LITRES_PER_JERRYCAN } from '../../../domain/units.ts'
import { mustStand } from '../../book/correction-store.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface WrittenMeasure extends Measure {
  id: string
  fromOn: CalendarDate
}

export async function addMeasure(pen: Pen, { fromOn, kind, name, size }: Omit<WrittenMeasure, 'id'>): Promise<string> {
  return appendEntry(pen, { kind: 'group-measure' }, { groupMeasure: [{ fromOn, kind, name, size }] })
}

/** Takes a measure out again; what was typed in it keeps its litres. */
export async function withdrawMeasure(pen: Pen, id: string, reason: string): Promise<string> {
  await mustStand(pen.trx, id)
  return appendEntry(pen, { kind: 'group-measure', correctsId: id, reason }, {})
}

/** From a day on somebody is told volumes in a measure: `can`, `hours`, or the name of one of the group's. */
export async function countIn(
  pen: Pen,
  { personId, fromOn, measure }: { personId: Id<'person'>; fromOn: CalendarDate; measure: string },
): Promise<string> {
  const forPersonId = personId === pen.writtenBy ? null : personId
  return appendEntry(pen, { kind: 'counted-in', forPersonId }, { countedIn: [{ personId, fromOn, measure }] })
}

const measureRows = readTogether('group', (db) =>
  db
    .selectFrom('groupMeasure')
    .innerJoin('entry', 'entry.id', 'groupMeasure.entryId')
    .select(['groupMeasure.entryId as id', 'fromOn', 'groupMeasure.kind', 'name', 'size'])
    .where(standing('groupMeasure'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

/** Every measure that stands, as it was written. */
async function writtenMeasures(db: Database): Promise<WrittenMeasure[]> {
  const rows = await measureRows(db)
  return rows.map((row) => ({ ...row, kind: row.kind as MeasureKind }))
}

/** What the group counts in on a day: its can, and the last of each other name. */
export async function measuresOn(db: Database, on: CalendarDate): Promise<WrittenMeasure[]> {
  const rows = await kept(db, 'measures', null, () => writtenMeasures(db))
  const held = rows.filter(({ fromOn }) => fromOn <= on)
  return [...new Map(held.map((one) => [one.kind === 'can' ? 'can' : one.name.toLowerCase(), one])).values()]
}

/** Vessels that the group has named, each with its litres. */
export async function vesselsOn(db: Database, on: CalendarDate): Promise<Vessel[]> {
  const named = (await measuresOn(db, on)).filter(({ kind }) => kind === 'drum' || kind === 'tank')
  return named.map(({ name, size }) => ({ name, litresEach: size }))
}

/** The group's own measures of land. */
export async function landMeasuresOn(db: Database, on: CalendarDate): Promise<{ name: string; m2Each: number }[]> {
  const named = (await measuresOn(db, on)).filter(({ kind }) => kind === 'area')
  return named.map(({ name, size }) => ({ name, m2Each: size }))
}

/** Litres of the group's can: 20 until it says another size. */
export async function canLitresOn(db: Database, on: CalendarDate): Promise<number> {
  return (await measuresOn(db, on)).find(({ kind }) => kind === 'can')?.size ?? LITRES_PER_JERRYCAN
}

const countedRows = readTogether('group', (db) =>
  db
    .selectFrom('countedIn')
    .innerJoin('entry', 'entry.id', 'countedIn.entryId')
    .select(['personId', 'fromOn', 'measure'])
    .where(standing('countedIn'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

/** In what each person is told volumes on a day. */
export async function countedInOn(db: Database, personId: Id<'person'>, on: CalendarDate): Promise<string> {
  const rows = await kept(db, 'counted in', null, () => countedRows(db))
  return rows.findLast((row) => row.personId === personId && row.fromOn <= on)?.measure ?? 'can'
}

/** The measure of a person beside cans; null for cans, and where the group has taken the measure out. */
export async function ownMeasureOn(
  db: Database,
  personId: Id<'person'>,
  on: CalendarDate,
): Promise<{ hours: true } | { name: string; litresEach: number } | null> {
  const chosen = await countedInOn(db, personId, on)
  if (chosen === 'can') return null
  if (chosen === 'hours') return { hours: true }
  const measure = (await measuresOn(db, on)).find(({ name, kind }) => name === chosen && kind !== 'can')
  return measure ? { name: measure.name, litresEach: measure.size } : null
}
