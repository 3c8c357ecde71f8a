import type { Selectable } from 'kysely'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import type { Typed } from '../../web/forms/forms.ts'

type KeptRows = { [T in keyof FactTables]?: Selectable<FactTables[T]>[] }

/** Where the lines of a register are kept, and what would have to be typed to write one again. */
export interface Keeping {
  /** The first one has a row for every line; the others hang beside it. */
  tables: readonly (keyof FactTables)[]
  typed: (rows: KeptRows, currency: string) => Typed
  /** Why a line cannot be struck out, as a key of the catalogue; null when it can. */
  mayStrike?: (id: string) => Promise<string | null>
}

/** One line of a register as it was written, whether it still stands or not. */
export interface KeptLine {
  id: string
  rows: KeptRows
  writtenAt: string
  writerName: string
  /** The line that it replaced, and why. */
  correctsId: string | null
  reason: string | null
  paperPage: string | null
  paperRow: number | null
  correction: KeptCorrection | null
}

interface KeptCorrection {
  id: string
  reason: string
  writtenAt: string
  writerName: string
  strikesOut: boolean
}

/** A line of a kind; undefined where there is none, and for an entry that only struck another one out. */
export async function findKept(db: Database, kind: string, keeping: Keeping, id: string) {
  const [head] = await headRows(db, kind).where('entry.id', '=', id).execute()
  return head && (await withRows(db, keeping, [head]))[0]
}

/** Lines of a kind before a place in the book, the last written first. */
export async function listKept(
  db: Database,
  { kind, keeping, before, most }: { kind: string; keeping: Keeping; before?: number | undefined; most: number },
): Promise<{ lines: KeptLine[]; older: number | null }> {
  let query = headRows(db, kind).orderBy('entry.seq', 'desc').limit(most)
  if (before !== undefined) query = query.where('entry.seq', '<', before)
  const heads = await query.execute()
  return { lines: await withRows(db, keeping, heads), older: heads.length === most ? heads.at(-1)!.seq : null }
}

function headRows(db: Database, kind: string) {
  return db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .select(['entry.id', 'entry.seq', 'entry.written_at', 'entry.corrects_id', 'entry.reason', 'writer.name'])
    .select(['entry.paper_page', 'entry.paper_row'])
    .where('entry.kind', '=', kind)
}

type Head = Awaited<ReturnType<ReturnType<typeof headRows>['execute']>>[number]

async function withRows(db: Database, { tables }: Keeping, heads: readonly Head[]): Promise<KeptLine[]> {
  if (heads.length === 0) return []
  const ids = heads.map(({ id }) => id)
  const kept: Record<string, { entry_id: string }[]> = {}
  for (const table of tables) {
    kept[table] = (await db.selectFrom(table).selectAll().where('entry_id', 'in', ids).execute()) as never
  }
  const corrections = await correctionsOf(db, tables[0]!, ids)
  return heads.flatMap((head) => {
    const own = Object.entries(kept).map(([table, rows]) => [table, rows.filter((row) => row.entry_id === head.id)])
    const rows = Object.fromEntries(own) as KeptRows
    if (rows[tables[0]!]!.length === 0) return []
    return [
      {
        id: head.id,
        rows,
        writtenAt: head.written_at,
        writerName: head.name,
        correctsId: head.corrects_id,
        reason: head.reason,
        paperPage: head.paper_page,
        paperRow: head.paper_row,
        correction: corrections.get(head.id) ?? null,
      },
    ]
  })
}

/** The correction that counts of each line: where two books were joined, the one written last. */
async function correctionsOf(
  db: Database,
  table: keyof FactTables,
  ids: string[],
): Promise<Map<string, KeptCorrection>> {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .select(['entry.id', 'entry.corrects_id', 'entry.reason', 'entry.written_at', 'writer.name'])
    .where('entry.corrects_id', 'in', ids)
    .orderBy('entry.written_at')
    .orderBy('entry.id')
    .execute()
  const facts = rows.map(({ id }) => id)
  const stated = facts.length
    ? ((await db.selectFrom(table).select('entry_id').where('entry_id', 'in', facts).execute()) as {
        entry_id: string
      }[])
    : []
  const withFact = new Set(stated.map((row) => row.entry_id))
  return new Map(
    rows.map(({ id, corrects_id, reason, written_at, name }) => [
      corrects_id!,
      { id, reason: reason ?? '', writtenAt: written_at, writerName: name, strikesOut: !withFact.has(id) },
    ]),
  )
}

/** A figure as it would be typed. */
export function figure(value: number | null | undefined): string {
  return value == null ? '' : String(value)
}

/** Metres as they are read on a stick. */
export function inCm(lengthM: number): string {
  return String(Math.round(lengthM * 1e5) / 1e3)
}

/** Whole minutes as 1:30, anything finer as decimals. */
export function hoursTyped(hours: number): string {
  const minutes = Math.round(hours * 60)
  const isWhole = Math.abs(hours * 60 - minutes) < 1e-6
  return isWhole ? `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}` : hours.toFixed(4)
}
