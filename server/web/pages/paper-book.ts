import type { Permission } from '../../../domain/people/permissions.ts'
import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import type { Filled } from '../forms/forms.ts'
import type { Cells, Sheet, Word } from '../forms/sheet.ts'
import type { Desk } from './desk.ts'

/** A row that can be written (null where the book has it already), or the form with what must be mended. */
export type TakenRow = { ok: true; write: ((pen: Pen) => Promise<string>) | null } | { ok: false; form: Filled }

export type TakeRow = (body: Record<string, unknown>) => Promise<TakenRow>

/** A book that the group keeps on paper: printed and typed in by one sheet, whose rows are read as the screen would have read them. */
export interface PaperBook {
  name: string
  sheet: (desk: Desk) => Sheet
  /** Words that may be written in a column and that the group itself has named, such as its vessels. */
  words?: (desk: Desk) => Promise<Readonly<Record<string, readonly Word[]>>>
  /** Whoever may see the pages that were typed in, where it is not everybody. */
  seenBy?: Permission
  /** What a day's plan knows of the page beforehand; a row with nothing more than that is left aside. */
  planned?: { columns: readonly string[]; rows: (db: Database, on: string) => Promise<Cells[]> }
  /** Whoever may type it in, and how the rows of one page are read, each after the one above it. */
  typing: { permission: Permission; rows: (desk: Desk) => Promise<TakeRow> }
}
