import type { Generated } from 'kysely'
import type { Instant } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import type { Litres } from '../../domain/units.ts'
import type { AbstractionsTables } from './tables/abstractions.ts'
import type { CropsTables } from './tables/crops.ts'
import type { FeesTables } from './tables/fees.ts'
import type { PeopleTables } from './tables/people.ts'
import type { RotationTables } from './tables/rotation.ts'
import type { WaterTables } from './tables/water.ts'

/**
 * The typed tables. A row that hangs on an entry names it in `entryId`; for a thing (a person, a weir, a plot)
 * that id is the thing's own id too. Ids are random text, days are `_on`, instants are UTC text in `_at`.
 */
export interface Schema extends FactTables {
  entry: EntryTable
  session: SessionTable
  /** Outside the chain and every print: a code of one's own for shared devices, and the misses since it last fitted. */
  shortCode: { personId: Id<'person'>; codeHash: string; setAt: Instant; misses: number }
  /** Outside the chain: what somebody had typed when the sign-in ran out, for that person alone. */
  keptAside: { id: string; personId: Id<'person'>; path: string; fields: string; at: Instant }
  /** Outside the chain: printed codes, hashed, of which each opens once. */
  oneTimeCode: { codeHash: string; personId: Id<'person'>; usedAt: Instant | null }
  /** Outside the chain: tries at the door and refusals behind it. */
  doorTry: { number: Generated<number>; at: Instant; kind: string; personId: Id<'person'> | null; address: string }
  /** Outside the chain: who first opened the sheet of a publication; nobody knows of those from before it was kept. */
  sheetOpened: { publishedId: string; personId: Id<'person'> | null; openedAt: Instant | null }
  /** Outside the chain, which has the digest of each: the hashes of passwords, under the entries that wrote them. */
  passwordApart: { credentialId: string; passwordHash: string }
  /** Has a row only while two books are being joined, when a number may be given twice. */
  joining: { begun: number }
  /** The chains of the books that were joined into this one, where they parted from its own; they hang on no entry. */
  partedBook: { headHash: string; afterHash: string; entries: number }
  partedLine: { headHash: string; place: number; movedId: string; wasHash: string }
}

export interface EntryTable {
  seq: Generated<number>
  id: string
  kind: string
  happenedAt: Instant
  writtenAt: Instant
  writtenBy: string
  forPersonId: Id<'person'> | null
  correctsId: string | null
  reason: string | null
  formKey: string | null
  formDigest: string | null
  /** The page that answered the form; a re-sent form is sent there again. */
  formAnswer: string | null
  paperPage: string | null
  paperRow: number | null
  /** By which rule the hash is made (`book/entry-hash.ts`); an entry keeps it for good. */
  hashVersion: number
  previousHash: string
  hash: string
}

export interface SessionTable {
  keyHash: string
  personId: Id<'person'>
  startedAt: Instant
  expiresAt: Instant
  /** Minutes without a page after which it ends; null on a device of one's own. */
  idleMinutes: number | null
  seenAt: Instant | null
  address: string | null
  /** One where a password that an officer gave is still to be changed. */
  mustChoose: Generated<number>
}

/** Every append-only table whose rows hang on an entry. */
export interface FactTables
  extends PeopleTables,
    WaterTables,
    CropsTables,
    RotationTables,
    AbstractionsTables,
    FeesTables {
  approval: { entryId: string; subjectId: string }
  /** What waited for a name and was declined, or withdrawn by its writer; the reason stands in the entry. */
  withheld: { entryId: string; subjectId: string }
  /** Hangs on an entry that holds only once a second name stands under it. */
  nameNeeded: { entryId: string }
  /** The book of another device that somebody joined into this one, and how many entries were where. */
  bookJoined: { entryId: string; onlyHere: number; brought: number; shared: number }
  /** The book as it stood when somebody sealed it for the board; the digits follow from the rest. */
  weekSeal: {
    entryId: string
    lastHash: string
    entries: number
    draws: number
    drawnLitres: Litres
    receipts: number
    receivedMinor: number
    digits: string
  }
  /** What it brought that rules here, each of which waits for a second name under the joining. */
  broughtRuling: { entryId: string; broughtId: string }
}
