import { sql } from 'kysely'
import { InputError } from '../../../domain/input-error.ts'
import type { Database } from '../../database/connection.ts'
import { inFile } from '../../database/names.ts'
import { bringApart } from '../check/apart.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { appendAll, whileJoining } from '../merge/merge.ts'
import { readParted, writeParted } from '../merge/parted.ts'
import { type MergePlan, mergePlan } from '../merge/plan.ts'
import { broughtBy } from '../merge/rulings.ts'
import { factTables, readBook, type WholeEntry } from '../merge/whole-entry.ts'
import { verifyBook } from '../verify.ts'

/**
 * Takes the book of another device of the group into this one, in one transaction: the same book to the last hash as
 * `mergeBooks` makes of the two, and then an entry that says who joined them and what of it waits for a name here.
 * Throws InputError as `mergePlan`, and `merge-differs` where an entry that both have is not the same in both.
 */
export async function joinHere(pen: Pen, other: Database): Promise<string> {
  const { trx } = pen
  const [own, theirs] = [await readBook(trx), await readBook(other)]
  const plan = mergePlan(own, theirs)
  const earlier = await readParted(other)
  await whileJoining(trx, async () => {
    await cutAfter(trx, plan.alike)
    await appendAll(trx, plan.merged.slice(plan.alike))
  })
  await bringApart(trx, other)
  const known = new Set((await readParted(trx)).map(({ headHash }) => headHash))
  await writeParted(
    trx,
    [...earlier, ...plan.parted].filter(({ headHash }) => !known.has(headHash)),
  )
  const { brokenAt } = await verifyBook(trx)
  // Either file was whole by itself: what both have by one id is not the same in both, and how the other stood cannot be kept.
  if (brokenAt) throw new InputError('merge-differs', { entry: brokenAt.id })
  return writeJoining(pen, plan, broughtBy(own, theirs))
}

/** Who joined two books, and what the second brought: until another person here stands for it, the joiner answers for all of it. */
export function writeJoining(
  pen: Pen,
  { onlyOne, onlyOther, shared }: Pick<MergePlan, 'onlyOne' | 'onlyOther' | 'shared'>,
  brought: readonly WholeEntry[],
): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'book-joined' },
    {
      bookJoined: [{ onlyHere: onlyOne, brought: onlyOther, shared }],
      broughtRuling: brought.map(({ entry }) => ({ broughtId: entry.id })),
    },
  )
}

/** Takes off all entries after the first so many, which are written again at once in their new order. Only a joining may. */
async function cutAfter(trx: Database, alike: number): Promise<void> {
  const tables = ['entry', ...(await factTables(trx)).map(inFile)]
  const guards = await sql<{ name: string; sql: string }>`
    select name, sql from sqlite_schema where type = 'trigger' and name in (
      select value || '_no_delete' from json_each(${JSON.stringify(tables)}))`.execute(trx)
  for (const { name } of guards.rows) await sql`drop trigger ${sql.ref(name)}`.execute(trx)
  for (const table of tables.slice(1)) {
    await sql`delete from ${sql.table(table)} where entry_id in (select id from entry where seq > ${alike})`.execute(
      trx,
    )
  }
  await sql`delete from entry where seq > ${alike}`.execute(trx)
  await sql`update sqlite_sequence set seq = ${alike} where name = 'entry'`.execute(trx)
  for (const { sql: words } of guards.rows) await sql.raw(words).execute(trx)
}
