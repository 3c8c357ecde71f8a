import { sql } from 'kysely'
import { rowWords } from '../../abstractions/merged/row-state.ts'
import { subjectOf, subjectWords } from '../../abstractions/merged/subject-store.ts'
import { kept } from '../../book/kept-answers.ts'
import { askTogether } from '../../book/register/together.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page, type Visit } from '../../web/pages/page.ts'
import { registers } from './lists-store.ts'
import type { PrintedBook, Span } from './printed-books.ts'
import { PRINTED_PEOPLE } from './printed-people.ts'
import { PRINTED_WORKS } from './printed-works.ts'

/** As many lines as a phone on a slow line loads at once; a longer book comes in parts. */
const LINES_OF_A_PART = 200

/** The season as printed books: a cover that lists them, and one book a page. */
export function addPrintPages({ get }: Pages): void {
  get('/paper/whole', 'abstractions.see', showCover)
  get('/paper/lines/:book', 'abstractions.see', showBook)
}

async function showCover(desk: Desk) {
  const { db, group, request } = desk
  const span = seasonOf(desk)
  const lines = await linesOfAll(db, request.visit, span)
  const books = PRINTED_BOOKS.filter(({ needs }) => !needs || desk.may(needs)).map(({ name, title }) => {
    return { name, title, lines: lines[name]! }
  })
  return page(desk, 'paper/whole-book/cover', {
    title: 'abstractions.out.print-title',
    titleValues: { name: group.name },
    ...span,
    books,
    bookEnd: await endOfBook(db),
  })
}

/** How many lines each book has, in whatever words they are told. */
function linesOfAll(db: Database, visit: Visit, span: Span): Promise<Record<string, number>> {
  return kept(db, 'lines of the whole book', span, async () => {
    const lines: [string, number][] = []
    for (const { name, rows } of PRINTED_BOOKS) lines.push([name, (await rows(db, visit, span)).length])
    return Object.fromEntries(lines)
  })
}

async function showBook(desk: Desk<'book'>) {
  const { db, request, params, query, t } = desk
  const book = found(PRINTED_BOOKS.find((one) => one.name === params.book))
  if (book.needs && !desk.may(book.needs)) throw new PageError(403, 'error.page-403')
  const span = seasonOf(desk)
  const rows = await book.rows(db, request.visit, span)
  const parts = Math.max(1, Math.ceil(rows.length / LINES_OF_A_PART))
  const part = Math.min(parts, Math.max(1, Math.floor(Number(query.part)) || 1))
  const inPart = rows.slice((part - 1) * LINES_OF_A_PART, part * LINES_OF_A_PART)
  return page(desk, 'paper/whole-book/print', {
    title: book.title,
    ...span,
    book: book.name,
    part,
    parts,
    lines: rows.length,
    columns: book.heads.map((head) => t(head)),
    rows: book.shown ? await book.shown(desk, inPart) : inPart,
  })
}

function seasonOf({ group, today }: Desk): Span {
  return { fromOn: group.seasonStartOn, toOn: [group.seasonEndOn, today].toSorted()[0]! }
}

const OWN = [...PRINTED_PEOPLE, ...PRINTED_WORKS]

interface Written {
  table: keyof FactTables
  row: Record<string, unknown>
}

/** Whatever an officer may read and no other book prints, a line each: registers of rules, surveys, settings, and what hangs on a line. */
const rest: PrintedBook = {
  name: 'rest',
  title: 'paper.print.rest',
  tables: [],
  needs: 'book.export',
  heads: ['abstractions.entry.written', 'paper.print.writer', 'paper.print.words'],
  rows: async (db) => (await writtenElsewhere(db)).map((one) => [JSON.stringify(one)]),
  shown: async (desk, kept) => {
    const written = kept.map(([one]) => JSON.parse(String(one)) as Written)
    const heads = await headsOf(desk.db, written)
    const subjects = await subjectWords(
      desk,
      written.flatMap(({ table, row }) => subjectOf(table, row) ?? []),
    )
    return Promise.all(
      written.map(async ({ table, row }) => {
        const { writtenAt, name } = heads.get(String(row.entryId))!
        const words = await rowWords(desk, { table, row, on: writtenAt }, subjects)
        return [desk.format.instant(writtenAt), name, words]
      }),
    )
  },
}

/** When the entries of some rows were written, and by whom. */
async function headsOf(db: Database, written: readonly Written[]) {
  const ids = JSON.stringify(written.map(({ row }) => row.entryId))
  const entries = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.writtenAt', 'writer.name'])
    .where(sql<boolean>`entry.id in (select value from json_each(${ids}))`)
    .execute()
  return new Map(entries.map(({ id, ...head }) => [id as string, head]))
}

async function writtenElsewhere(db: Database): Promise<Written[]> {
  const tables = (await registers(db)).filter(({ table, open }) => open && !printedTables().has(table))
  const registersRead = await askTogether(db, ...tables.map(({ table }) => db.selectFrom(table).selectAll()))
  return tables.flatMap(({ table }, at) => (registersRead[at]! as Written['row'][]).map((row) => ({ table, row })))
}

function printedTables(): ReadonlySet<keyof FactTables> {
  return new Set(OWN.flatMap(({ tables }) => tables))
}

/** The group's book in the order in which it is printed: who and where, the rules, what was done, and all the rest. */
const PRINTED_BOOKS: readonly PrintedBook[] = [...OWN, rest]
