import type { FastifyRequest } from 'fastify'
import type { Permission } from '../../../domain/people/permissions.ts'
import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import type { Filled, Form } from '../../web/forms/forms.ts'
import type { Cells } from '../../web/forms/paper.ts'

/** A row that can be written (null where the book has it already), or the form with what must be mended. */
export type TakenRow = { ok: true; write: ((pen: Pen) => Promise<string>) | null } | { ok: false; form: Filled }

export type TakeRow = (body: Record<string, unknown>) => Promise<TakenRow>

export interface Typing {
  db: Database
  request: FastifyRequest
  at: Date
}

export interface PaperBook {
  name: string
  form: (request: FastifyRequest) => Form
  /** Columns that are carried down when they are left empty. */
  carried: readonly string[]
  /** Fields of the screen that paper has no column for. */
  without?: readonly string[]
  /** Whoever may see the pages that were typed in, where it is not everybody. */
  seenBy?: Permission
  /** What a day's plan knows of the page beforehand; a row with nothing more than that is left aside. */
  planned?: { columns: readonly string[]; rows: (db: Database, on: string) => Promise<Cells[]> }
  /** Reads the rows of one page, each after the one above it. */
  typing: { permission: Permission; rows: (typing: Typing) => Promise<TakeRow> }
}
