import { sql } from 'kysely'
import type { Database } from '../../database/connection.ts'
import { makeAfter, makeOf } from '../../database/make.ts'
import { stepsOf } from '../../database/migrate.ts'
import { isPostgres, tablesOf } from '../../database/tables-of.ts'
import type { Values } from '../../web/figures/locale.ts'

/** Something in a file that is not as the program left it; its sentence is `file.fault.<code>`. */
export interface Fault {
  code:
    | 'damaged'
    | 'chain'
    | 'made-otherwise'
    | 'made-away'
    | 'made-besides'
    | 'steps'
    | 'newer'
    | 'numbering'
    | 'joining'
    | 'dangling'
    | 'identity'
    | 'seal'
    | 'password'
  values: Values
}

/**
 * Whether a file is made as the program makes it: the list of steps, each table, index, trigger and view to the word, the
 * number that the next entry gets, and that nothing was left open. A table of somebody else without triggers does nothing and is
 * told with those outside the chain.
 */
export async function makeFaults(db: Database): Promise<Fault[]> {
  const steps = await stepFaults(db)
  return steps.some(({ code }) => code === 'newer' || code === 'steps') ? steps : [...steps, ...(await leftOpen(db))]
}

async function stepFaults(db: Database): Promise<Fault[]> {
  const { taken, known } = await stepsOf(db)
  const beyond = taken.find((name) => !known.includes(name))
  const last = taken.at(-1)
  if (beyond && beyond > known.at(-1)!) return [{ code: 'newer', values: { step: beyond, own: known.at(-1)! } }]
  const odd = beyond ?? known.find((name, place) => place < taken.length && taken[place] !== name)
  if (odd || last === undefined) return [{ code: 'steps', values: { step: odd ?? known[0]! } }]
  // Of PostgreSQL the steps are compared, and not yet each trigger to the word.
  return isPostgres(db) ? [] : differences(await makeOf(db), await makeAfter(last))
}

function differences(found: ReadonlyMap<string, string>, wanted: ReadonlyMap<string, string>): Fault[] {
  const faults: Fault[] = []
  for (const [what, words] of wanted) {
    if (!found.has(what)) faults.push({ code: 'made-away', values: { what } })
    else if (found.get(what) !== words) faults.push({ code: 'made-otherwise', values: { what } })
  }
  for (const what of found.keys()) {
    if (!wanted.has(what) && !what.startsWith('table ')) faults.push({ code: 'made-besides', values: { what } })
  }
  return faults
}

async function leftOpen(db: Database): Promise<Fault[]> {
  const tables = new Set((await tablesOf(db)).map(({ name }) => name))
  const faults: Fault[] = []
  if (tables.has('joining') && (await db.selectFrom('joining').select('begun').executeTakeFirst()))
    faults.push({ code: 'joining', values: {} })
  // There an entry's number follows from the one before it, and none is counted beside.
  if (isPostgres(db)) return faults
  const { rows } = await sql<{ next: number; last: number }>`
    select coalesce((select max(seq) from sqlite_sequence where name = 'entry'), 0) as next,
      coalesce((select max(seq) from entry), 0) as last`.execute(db)
  const { next, last } = rows[0]!
  if (next !== last) faults.push({ code: 'numbering', values: { next: String(next), last: String(last) } })
  return faults
}
