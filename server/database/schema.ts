import type { Generated } from 'kysely'
import type { AbstractionsTables } from './tables/abstractions.ts'
import type { CropsTables } from './tables/crops.ts'
import type { FeesTables } from './tables/fees.ts'
import type { PeopleTables } from './tables/people.ts'
import type { RotationTables } from './tables/rotation.ts'
import type { WaterTables } from './tables/water.ts'

/**
 * The typed tables. A row that hangs on an entry names it in `entry_id`; for a thing (a person, a weir, a plot)
 * that id is the thing's own id too. Ids are random text, days are `_on`, instants are UTC text in `_at`.
 */
export interface Schema extends FactTables {
  entry: EntryTable
  session: SessionTable
  /** Has a row only while two books are being joined, when a number may be given twice. */
  joining: { begun: number }
  /** The chains of the books that were joined into this one, where they parted from its own; they hang on no entry. */
  parted_book: { head_hash: string; after_hash: string; entries: number }
  parted_line: { head_hash: string; place: number; moved_id: string; was_hash: string }
}

export interface EntryTable {
  seq: Generated<number>
  id: string
  kind: string
  happened_at: string
  written_at: string
  written_by: string
  for_person_id: string | null
  corrects_id: string | null
  reason: string | null
  form_key: string | null
  form_digest: string | null
  /** The page that answered the form; a re-sent form is sent there again. */
  form_answer: string | null
  paper_page: string | null
  paper_row: number | null
  previous_hash: string
  hash: string
}

export interface SessionTable {
  key_hash: string
  person_id: string
  started_at: string
  expires_at: string
  /** Minutes without a page after which it ends; null on a device of one's own. */
  idle_minutes: number | null
  seen_at: string | null
}

/** Every append-only table whose rows hang on an entry. */
export interface FactTables
  extends PeopleTables,
    WaterTables,
    CropsTables,
    RotationTables,
    AbstractionsTables,
    FeesTables {
  approval: { entry_id: string; subject_id: string }
}
