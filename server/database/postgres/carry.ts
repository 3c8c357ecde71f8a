import { sql } from 'kysely'
import { endOfBook, verifyBook } from '../../book/verify.ts'
import type { Database } from '../connection.ts'
import { BookProblem } from '../file/problem.ts'
import { tablesOf } from '../tables-of.ts'

/** PostgreSQL takes 65,535 values in one statement. */
const MOST_VALUES = 30_000

interface Carried {
  entries: number
  lastHash: string
  at: string
  accounts: number
}

/**
 * Copies every row of a book into an empty one in one transaction, then works out the chain and the balance of every account at
 * both ends. Throws BookProblem `not-empty`, or `carried-otherwise` where the two do not say the same: then nothing is kept.
 */
export async function carryBook(from: Database, to: Database): Promise<Carried> {
  if ((await endOfBook(to)).entries > 0) throw new BookProblem('not-empty')
  return to.transaction().execute(async (trx) => {
    await sql`set constraints all deferred`.execute(trx)
    // Numbers that two joined books both gave are taken as they are.
    await trx.insertInto('joining').values({ begun: 1 }).execute()
    for (const { name, columns } of await tablesOf(from)) {
      if (/^(kysely_|sqlite_|joining$)/.test(name)) continue
      await copyRows(from, trx, name, columns.length)
    }
    await trx.deleteFrom('joining').execute()
    await sql`select setval(pg_get_serial_sequence('door_try', 'number'), (select coalesce(max(number), 0) + 1 from door_try), false)`.execute(
      trx,
    )
    await sql`set constraints all immediate`.execute(trx)
    return sameAtBothEnds(from, trx)
  })
}

async function copyRows(from: Database, to: Database, table: string, columns: number): Promise<void> {
  const named = sql.table(table)
  const { rows } = await sql<Record<string, unknown>>`select * from ${named} order by rowid`.execute(from)
  const atOnce = Math.floor(MOST_VALUES / columns)
  const other = to.withTables<Record<string, Record<string, unknown>>>()
  for (let at = 0; at < rows.length; at += atOnce)
    await other
      .insertInto(table)
      .values(rows.slice(at, at + atOnce))
      .execute()
}

async function sameAtBothEnds(from: Database, to: Database): Promise<Carried> {
  const [own, other] = [await endOfBook(from), await endOfBook(to)]
  const [balances, carried] = [await balancesOf(from), await balancesOf(to)]
  const { brokenAt } = await verifyBook(to)
  if (brokenAt || own.lastHash !== other.lastHash || own.entries !== other.entries)
    throw new BookProblem('carried-otherwise', { what: `chain ${brokenAt?.id ?? other.lastHash}` })
  const differs = [...balances].find(([account, minor]) => carried.get(account) !== minor)
  if (differs || balances.size !== carried.size)
    throw new BookProblem('carried-otherwise', { what: `account ${differs?.[0] ?? ''}` })
  return { ...other, accounts: carried.size }
}

/** What each account of the ledger was given less what was taken, minor units. */
async function balancesOf(db: Database): Promise<Map<string, number>> {
  const { rows } = await sql<{ account: string; minor: number }>`
    select account, sum(minor) as minor from (
      select debit_account_id as account, amount_minor as minor from transfer
      union all select credit_account_id, -amount_minor from transfer) as moved
    group by account`.execute(db)
  return new Map(rows.map(({ account, minor }) => [account, minor]))
}
