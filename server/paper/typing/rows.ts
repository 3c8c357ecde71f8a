import type { Pen } from '../../book/entries.ts'
import { formOf } from '../../book/pen.ts'
import { type Form, readForm, SURE } from '../../web/forms/forms.ts'
import {
  bodyOfRow,
  type CellErrors,
  type Cells,
  type Marks,
  type SheetColumn,
  type SheetRow,
} from '../../web/forms/sheet.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { TakeRow } from '../../web/pages/paper-book.ts'
import { paperPageOf, writtenRows } from '../books/page-store.ts'

export interface BadRow {
  row: number
  cells: Cells
  errors: CellErrors
}

interface GoodRow {
  row: number
  write: (pen: Pen) => Promise<string>
}

interface SortedRows {
  good: GoodRow[]
  bad: BadRow[]
  /** Rows that are in the book from an earlier typing. */
  twice: number[]
  /** Rows whose readings are in the book already, from the phone or from another page. */
  known: number[]
}

interface Page {
  form: Form
  columns: readonly SheetColumn[]
  marks: Marks
  take: TakeRow
  written: readonly number[]
  /** The crosses that were put beside unusual figures of the page. */
  sure: unknown
}

/** Tells the rows of a page apart: in the book already, fit to be written, and to be mended. */
export async function sortRows(
  rows: readonly SheetRow[],
  { form, columns, marks, take, written, sure }: Page,
): Promise<SortedRows> {
  const sorted: SortedRows = { good: [], bad: [], twice: [], known: [] }
  for (const { row, cells } of rows) {
    if (written.includes(row)) {
      sorted.twice.push(row)
      continue
    }
    const { body, errors } = bodyOfRow(columns, cells, marks)
    if (Object.keys(errors).length > 0) {
      sorted.bad.push({ row, cells, errors: { ...cellsWrong(form, body, cells), ...errors } })
      continue
    }
    const taken = await take({ ...body, [SURE]: sure })
    if (taken.ok && taken.write) sorted.good.push({ row, write: taken.write })
    else if (taken.ok) sorted.known.push(row)
    else sorted.bad.push({ row, cells, errors: taken.form.errors })
  }
  return sorted
}

/** What else is wrong in a row of which some cell names nothing: all of it is said at once. */
function cellsWrong(form: Form, body: Record<string, unknown>, cells: Cells): CellErrors {
  const wrong = Object.entries(readForm(form, body).errors)
  return Object.fromEntries(wrong.filter(([name]) => cells[name]))
}

/**
 * Writes the good rows in one transaction, each with its page and row. A row that came in meanwhile is left alone. While some rows
 * are to be mended the form's key stays unused: sent again, the same form gives the same page, bad rows and all, and what it brought
 * is known by its page and row.
 */
export async function keepRows(
  { db, request, person, at }: Desk,
  { book, pageNo, isWhole }: { book: string; pageNo: string; isWhole: boolean },
  good: readonly GoodRow[],
): Promise<void> {
  const paperPage = paperPageOf(book, pageNo)
  const form = formOf(request, () => `/paper/${book}/pages/${encodeURIComponent(pageNo)}`)
  await db.transaction().execute(async (trx) => {
    const sent = await trx.selectFrom('entry').select('id').where('formKey', '=', form.key).executeTakeFirst()
    if (sent) return
    const written = (await writtenRows(trx, paperPage)).map(({ row }) => row)
    const pen: Pen = { trx, writtenBy: person.id, writtenAt: at.toISOString(), form: isWhole ? form : undefined }
    for (const { row, write } of good) {
      if (written.includes(row)) continue
      pen.paper = { page: paperPage, row }
      await write(pen)
    }
  })
}
