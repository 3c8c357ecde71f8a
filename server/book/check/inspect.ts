import { type RawBuilder, sql } from 'kysely'
import type { Database } from '../../database/connection.ts'
import { isPostgres, tablesOf } from '../../database/tables-of.ts'
import { fileIsSound, verifyBook } from '../verify.ts'
import { apartFaults } from './apart.ts'
import { type Fault, makeFaults } from './make.ts'
import { sealFaults } from './seal.ts'

/**
 * All that can be told of a book from its file alone: whether it is sound, made as the program makes it, chained without a
 * break, and whether its accounts fit each other. It cannot tell a chain that somebody wrote anew from its beginning: a noted
 * hash or the seal of a week does.
 */
export async function inspectBook(db: Database): Promise<{ entries: number; faults: Fault[] }> {
  if (!(await fileIsSound(db))) return { entries: 0, faults: [{ code: 'damaged', values: {} }] }
  const make = await makeFaults(db)
  if (make.some(({ code }) => code === 'newer' || code === 'steps')) return { entries: 0, faults: make }
  const { entries, brokenAt } = await verifyBook(db)
  const chain: Fault[] = brokenAt ? [{ code: 'chain', values: { ...brokenAt, seq: String(brokenAt.seq) } }] : []
  return {
    entries,
    faults: [
      ...chain,
      ...make,
      ...(await dangling(db)),
      ...(await identityFaults(db)),
      ...(await sealFaults(db)),
      ...(await apartFaults(db)),
    ],
  }
}

/** Rows that name something which is not there. */
async function dangling(db: Database): Promise<Fault[]> {
  // PostgreSQL takes no such row at all.
  if (isPostgres(db)) return []
  const { rows } = await sql<{ table: string; parent: string }>`pragma foreign_key_check`.execute(db)
  return [...new Set(rows.map(({ table, parent }) => `${table} → ${parent}`))].map((what) => ({
    code: 'dangling',
    values: { what },
  }))
}

/** A meter is read to the litre, and half of one may be lost in the writing of the difference. */
const HALF_LITRE_M3 = 0.0005

/** A figure of one column of a closing. */
const heldMinor = (name: string) => sql`cast(json_extract(held.value, ${sql.lit(`$.${name}`)}) as bigint)`

/**
 * What must hold among the figures themselves, whoever wrote them: double entry, a charge and its lines, what follows a charge, a meter and what passed
 * it, the columns of a closing. Each gives the entries for which it does not hold.
 */
const IDENTITIES: Record<string, RawBuilder<{ id: string }>> = {
  transfer: sql`select entry_id as id from transfer
    where amount_minor <= 0 or debit_account_id = credit_account_id
      or not exists (select 1 from account where account.entry_id = debit_account_id)
      or not exists (select 1 from account where account.entry_id = credit_account_id)`,
  charge: sql`select transfer.entry_id as id from transfer join charge_line on charge_line.entry_id = transfer.entry_id
    where transfer.kind = 'charge' group by transfer.entry_id, transfer.amount_minor
    having sum(charge_line.amount_minor) <> transfer.amount_minor`,
  // What follows a charge has as its lines what is due by now: all that was posted from the charge on comes to just that.
  followUp: sql`select later.entry_id as id from transfer as later
    join entry as later_entry on later_entry.id = later.entry_id
    join transfer as first on first.entry_id = later_entry.corrects_id and first.kind = 'charge'
    where later.kind = 'correction' and not exists (select 1 from parted_book)
      and exists (select 1 from charge_line where charge_line.entry_id = first.entry_id)
      and (select coalesce(sum(amount_minor), 0) from charge_line where charge_line.entry_id = later.entry_id) <> (
        select sum(case when posted.debit_account_id = first.debit_account_id then 1 else -1 end * posted.amount_minor)
        from transfer as posted join entry as posted_entry on posted_entry.id = posted.entry_id
        where posted_entry.seq <= later_entry.seq
          and (posted.entry_id = first.entry_id or posted_entry.corrects_id = first.entry_id and posted.kind = 'correction'))`,
  meter: sql`select entry_id as id from abstraction
    where method = 'meter' and grade = 'measured' and closing_m3 >= opening_m3
      and abs(closing_m3 - opening_m3 - volume_m3) > ${sql.lit(HALF_LITRE_M3)}
      and not exists (select 1 from draw_tool where draw_tool.entry_id = abstraction.entry_id)`,
  closing: sql`select entry_id as id from period_closing, json_each(figures, '$.columns') as held
    where ${heldMinor('openingMinor')} + ${heldMinor('inMinor')} - ${heldMinor('outMinor')} <> ${heldMinor('closingMinor')}`,
}

/** Whether the accounts fit each other, apart from any hash: a chain that was written anew must fit them too. */
async function identityFaults(db: Database): Promise<Fault[]> {
  const tables = new Set((await tablesOf(db)).map(({ name }) => name))
  const faults: Fault[] = []
  // An older book, a copy kept by the auditor say, is read as it is.
  if (!tables.has('period_closing') || !tables.has('draw_tool')) return faults
  for (const [what, broken] of Object.entries(IDENTITIES)) {
    const { rows } = await broken.execute(db)
    const first = rows[0]
    if (first) faults.push({ code: 'identity', values: { what, entry: first.id, count: rows.length } })
  }
  return faults
}
