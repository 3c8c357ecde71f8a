import { scrypt } from 'node:crypto'
import { promisify } from 'node:util'
import { sql } from 'kysely'
import type { Instant } from '../../../domain/calendar.ts'
import type { Litres } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { tablesOf } from '../../database/tables-of.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { NAME_NEEDED } from '../name-needed.ts'
import { asWritten, standing } from '../standing.ts'
import type { Fault } from './make.ts'

/**
 * What a seal says of a book: its last hash, and counts and totals that people can hold against what they remember. Water and
 * receipts are those that stood at that moment.
 */
interface Sealed {
  lastHash: string
  entries: number
  draws: number
  drawnLitres: Litres
  receipts: number
  receivedMinor: number
}

export interface WeekSeal extends Sealed {
  id: string
  digits: string
  setAt: Instant
  setterName: string
}

/** Eight groups of four. */
export const SEAL_DIGITS = 32
/** RFC 7914: some tens of thousandths of a second for one try, so that none can be made by the thousand million. */
const COST = { N: 16_384, r: 8, p: 1 }
const SALT = 'commonweir seal 1'
const BYTES = 32

const stretched = promisify<string, string, number, typeof COST, Buffer>(scrypt)

/**
 * The digits that witness a book on paper: scrypt (RFC 7914) over what the seal says, as a number of 32 decimal digits, some 106
 * bits. Another book for given digits takes 10^32 tries; two books of the same digits, made beforehand, some 10^16.
 */
async function sealDigits(sealed: Sealed): Promise<string> {
  const { lastHash, entries, draws, drawnLitres, receipts, receivedMinor } = sealed
  const said = [lastHash, entries, draws, drawnLitres, receipts, receivedMinor].join('\n')
  const bytes = await stretched(said, SALT, BYTES, COST)
  const number = BigInt(`0x${bytes.toString('hex')}`) % 10n ** BigInt(SEAL_DIGITS)
  return number.toString().padStart(SEAL_DIGITS, '0')
}

/** Seals the book as it stands; it holds as a witness once a second name stands under it. */
export async function setSeal(pen: Pen): Promise<string> {
  const { trx } = pen
  const last = await trx.selectFrom('entry').select(['seq', 'hash']).orderBy('seq', 'desc').limit(1).executeTakeFirst()
  const sealed = { lastHash: last!.hash, ...(await totalsUpTo(trx, last!.seq)) }
  const digits = await sealDigits(sealed)
  return appendEntry(pen, { kind: 'week-seal' }, { weekSeal: [{ ...sealed, digits }], ...NAME_NEEDED })
}

/** Counts and totals as they stood after so many entries: what was corrected later counts as it was. */
async function totalsUpTo(db: Database, seq: number): Promise<Omit<Sealed, 'lastHash'>> {
  const { rows } = await sql<{ draws: number; drawnLitres: number; receipts: number; receivedMinor: number }>`
    with stood as (select id from entry where seq <= ${seq}
      and not exists (select 1 from entry as later where later.corrects_id = entry.id and later.seq <= ${seq}))
    select
      (select count(*) from abstraction where entry_id in (select id from stood)) as draws,
      (select coalesce(sum(cast(floor(volume_m3 * 1000 + 0.5) as bigint)), 0) from abstraction where entry_id in (select id from stood)) as drawn_litres,
      (select count(*) from transfer where kind = 'receipt' and entry_id in (select id from stood)) as receipts,
      (select coalesce(sum(amount_minor), 0) from transfer where kind = 'receipt' and entry_id in (select id from stood)) as received_minor`.execute(
    db,
  )
  return { entries: seq, ...rows[0]! }
}

/** All seals, the last one first; one that was withdrawn is not shown. */
export async function listSeals(db: Database): Promise<WeekSeal[]> {
  return db
    .selectFrom('weekSeal')
    .innerJoin('entry', 'entry.id', 'weekSeal.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'lastHash', 'entries', 'draws', 'drawnLitres', 'receipts', 'receivedMinor', 'digits'])
    .select(['entry.writtenAt as setAt', 'person.name as setterName'])
    .where(standing('weekSeal'))
    .where('entry.id', 'not in', (eb) => eb.selectFrom('withheld').select('subjectId'))
    .orderBy(asWritten, 'desc')
    .execute()
}

/** Seals that do not say what the book says where they were set, in its own chain or in that of a joined book. */
export async function sealFaults(db: Database): Promise<Fault[]> {
  const faults: Fault[] = []
  const tables = await tablesOf(db)
  if (!tables.some(({ name }) => name === 'week_seal')) return faults
  for (const seal of await db.selectFrom('weekSeal').selectAll().execute())
    if (!(await fits(db, seal))) faults.push({ code: 'seal', values: { entry: seal.entryId } })
  return faults
}

async function fits(db: Database, seal: Sealed & { digits: string }): Promise<boolean> {
  if (seal.digits !== (await sealDigits(seal))) return false
  const { lastHash } = seal
  const here = await db.selectFrom('entry').select('seq').where('hash', '=', lastHash).executeTakeFirst()
  // The order of a joined book is not that of its seal, so only its hash can be found again.
  if (!here)
    return Boolean(await db.selectFrom('partedLine').select('place').where('wasHash', '=', lastHash).executeTakeFirst())
  const now = await totalsUpTo(db, here.seq)
  return Object.entries(now).every(([name, value]) => seal[name as keyof Sealed] === value)
}

/** The seal of some digits, which may be given in groups; null where no seal of this book has them. */
export async function findSeal(db: Database, typed: string): Promise<(WeekSeal & { later: number }) | null> {
  const digits = typed.replace(/\D/g, '')
  const seal = (await listSeals(db)).find((one) => one.digits === digits)
  if (!seal) return null
  const { later } = await db
    .selectFrom('entry')
    .select(({ fn }) => fn.countAll<number>().as('later'))
    .where('seq', '>', (eb) => eb.selectFrom('entry').select('seq').where('id', '=', seal.id))
    .executeTakeFirstOrThrow()
  return { ...seal, later: Number(later) }
}
