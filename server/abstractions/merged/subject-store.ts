import { sql } from 'kysely'
import { CLASH_RULES } from '../../book/rules/clash-rules.ts'
import { inFile } from '../../database/names.ts'
import type { FactTables } from '../../database/schema.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** Rows that say something of another entry, or of the one they hang on, with the column that has its id. */
const SUBJECT_IN: Partial<Record<keyof FactTables, 'subjectId' | 'entryId'>> = {
  approval: 'subjectId',
  withheld: 'subjectId',
  nameNeeded: 'entryId',
  flagSettled: 'subjectId',
  drawSlip: 'subjectId',
  drawNote: 'entryId',
  drawEvent: 'entryId',
  drawTool: 'entryId',
  bucketTiming: 'entryId',
}

/** The id of the entry that a row says something of; null of a row that speaks for itself. */
export function subjectOf(table: keyof FactTables, row: Readonly<Record<string, unknown>>): string | null {
  const column = SUBJECT_IN[table]
  return column ? String(row[column]) : null
}

/** Each of these entries in words, by its id: what it is called, and when it was written. All are asked for in one question. */
export async function subjectWords(
  { db, t, format, locale }: Pick<Desk, 'db' | 't' | 'format' | 'locale'>,
  ids: readonly string[],
): Promise<ReadonlyMap<string, string>> {
  if (ids.length === 0) return new Map()
  const tables = (Object.keys(CLASH_RULES) as (keyof FactTables)[]).filter((table) => !(table in SUBJECT_IN)).sort()
  const asked = JSON.stringify(ids)
  const lines = tables.map(
    (table) => sql`select cast(${table} as text) as register, entry_id from ${sql.table(inFile(table))}
      where entry_id in (select value from json_each(${asked}))`,
  )
  const { rows } = await sql<Subject>`
    select entry.id as id, entry.kind as kind, facts.register as register, entry.written_at as written_at
    from entry join (${sql.join(lines, sql` union all `)}) as facts on facts.entry_id = entry.id
    where entry.id in (select value from json_each(${asked}))`.execute(db)
  const told = new Map(await drawsTold({ db, t, format }, asked))
  for (const { id, register, writtenAt } of rows.toSorted((a, b) => rank(b) - rank(a))) {
    const day = format.instant(writtenAt)
    const list = `paper.print.list.${register}`
    if (told.has(id)) continue
    if (locale.has(`told.${register}`)) told.set(id, t(`told.${register}`, { day }))
    else if (locale.has(list)) told.set(id, `${t(list)} (${day})`)
  }
  return told
}

/** Draws by their day, whom or what they went to, and their water. */
async function drawsTold(
  { db, t, format }: Pick<Desk, 'db' | 't' | 'format'>,
  ids: string,
): Promise<[string, string][]> {
  const draws = await db
    .selectFrom('abstraction')
    .leftJoin('plot', 'plot.entryId', 'abstraction.plotId')
    .leftJoin('outlet', 'outlet.entryId', 'abstraction.outletId')
    .select(['abstraction.entryId as id', 'onDate', 'volumeM3', 'plot.number as plot', 'outlet.number as outlet'])
    .where(sql<boolean>`abstraction.entry_id in (select value from json_each(${ids}))`)
    .execute()
  return draws.map(({ id, onDate, volumeM3, plot, outlet }) => {
    const places = Object.entries({ plot, outlet }).filter(([, number]) => number !== null)
    const where = places.map(([place, number]) => t(`told.numbered.${place}`, { number: String(number) }))
    const draw = [t('told.abstraction', { day: format.date(onDate) }), ...where]
    return [id, [...draw, t('week.volume', { volume: format.toLitre(volumeM3) })].join(', ')]
  })
}

interface Subject {
  id: string
  kind: string
  register: keyof FactTables
  writtenAt: string
}

/** What the entry was written as comes before what hangs on it, and there what can clash before its mere parts. */
function rank({ kind, register }: Subject): number {
  if (kind.replaceAll('-', '') === register.toLowerCase()) return 2
  return typeof CLASH_RULES[register] === 'string' ? 0 : 1
}
