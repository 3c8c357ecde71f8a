import type { Selectable } from 'kysely'
import type { Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import type { Typed } from '../../web/forms/forms.ts'

type LineRows = { [T in keyof FactTables]?: Selectable<FactTables[T]>[] }

/** Where the lines of a register stand, and what would have to be typed to write one again. */
export interface LineTables {
  /** Their address: `/log/lines/fault`, with `/:id` one of them and `/:id/correct` the form that puts it right. */
  path: string
  /** The first one has a row for every line; the others hang beside it. */
  tables: readonly (keyof FactTables)[]
  typed: (rows: LineRows, currency: string) => Typed
  /** Why a line cannot be struck out, as a key of the catalogue; null when it can. */
  mayStrike?: (db: Database, id: string) => Promise<string | null>
}

/** One line of a register as it was written, whether it still stands or not. */
export interface Line {
  id: string
  rows: LineRows
  writtenAt: Instant
  writerName: string
  /** The line that it replaced, and why. */
  correctsId: string | null
  reason: string | null
  paperPage: string | null
  paperRow: number | null
  correction: LineCorrection | null
}

interface LineCorrection {
  id: string
  reason: string
  writtenAt: Instant
  writerName: string
  strikesOut: boolean
}

interface OfKind {
  kind: string
  tables: LineTables
}

/** A line of a kind; undefined where there is none, and for an entry that only struck another one out. */
export async function findLine(db: Database, { kind, tables, id }: OfKind & { id: string }): Promise<Line | undefined> {
  const [head] = await headRows(db, kind).where('entry.id', '=', id).execute()
  return head && (await withRows(db, tables, [head]))[0]
}

/** Lines of a kind before a place in the book, the last written first. */
export async function listLines(
  db: Database,
  { kind, tables, before, most }: OfKind & { before?: number | undefined; most: number },
): Promise<{ lines: Line[]; older: number | null }> {
  let query = headRows(db, kind).orderBy('entry.seq', 'desc').limit(most)
  if (before !== undefined) query = query.where('entry.seq', '<', before)
  const heads = await query.execute()
  return { lines: await withRows(db, tables, heads), older: heads.length === most ? heads.at(-1)!.seq : null }
}

function headRows(db: Database, kind: string) {
  return db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.seq', 'entry.writtenAt', 'entry.correctsId', 'entry.reason', 'writer.name'])
    .select(['entry.paperPage', 'entry.paperRow'])
    .where('entry.kind', '=', kind)
}

type Head = Awaited<ReturnType<ReturnType<typeof headRows>['execute']>>[number]

async function withRows(db: Database, { tables }: LineTables, heads: readonly Head[]): Promise<Line[]> {
  if (heads.length === 0) return []
  const ids = heads.map(({ id }) => id)
  const written: [string, FactRow[]][] = []
  for (const table of tables) written.push([table, await factRows(db, table, ids)])
  const corrections = await correctionsOf(db, tables[0]!, ids)
  return heads.flatMap((head) => {
    const own = written.map(([table, rows]) => [table, rows.filter((row) => row.entryId === head.id)])
    const rows = Object.fromEntries(own) as LineRows
    return rows[tables[0]!]!.length === 0 ? [] : [lineOf(head, rows, corrections.get(head.id) ?? null)]
  })
}

function lineOf(head: Head, rows: LineRows, correction: LineCorrection | null): Line {
  return {
    id: head.id,
    rows,
    writtenAt: head.writtenAt,
    writerName: head.name,
    correctsId: head.correctsId,
    reason: head.reason,
    paperPage: head.paperPage,
    paperRow: head.paperRow,
    correction,
  }
}

interface FactRow {
  entryId: string
}

async function factRows(db: Database, table: keyof FactTables, ids: readonly string[]): Promise<FactRow[]> {
  if (ids.length === 0) return []
  return (await db.selectFrom(table).selectAll().where('entryId', 'in', ids).execute()) as FactRow[]
}

/** The correction that counts of each line: where two books were joined, the one written last. */
async function correctionsOf(
  db: Database,
  table: keyof FactTables,
  ids: string[],
): Promise<Map<string, LineCorrection>> {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.correctsId', 'entry.reason', 'entry.writtenAt', 'writer.name'])
    .where('entry.correctsId', 'in', ids)
    .orderBy('entry.writtenAt')
    .orderBy('entry.id')
    .execute()
  const stated = await factRows(
    db,
    table,
    rows.map(({ id }) => id),
  )
  const withFact = new Set(stated.map((row) => row.entryId))
  return new Map(
    rows.map(({ id, correctsId, reason, writtenAt, name }) => [
      correctsId!,
      { id, reason: reason ?? '', writtenAt, writerName: name, strikesOut: !withFact.has(id) },
    ]),
  )
}
