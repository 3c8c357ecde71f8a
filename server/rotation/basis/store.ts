import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type BasisChange, type BasisEntry, basisChanges } from '../../../domain/rotation/week/basis-changes.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { joinersOf } from '../../book/merge/joiners-store.ts'
import { unknownTo } from '../../book/merge/reached.ts'
import { namesByEntry } from '../../book/names/approvals.ts'
import { askTogether } from '../../book/register/together.ts'
import { latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { findPublishedWeek, publishedStarts } from '../published/store.ts'
import type { WrittenChange } from './written-change.ts'
import { writtenSince } from './written-store.ts'

/** One line of what parts are reckoned by and is not as in the last published week, with the entries that it rests on. */
export type BasisLine = (BasisChange | WrittenChange) & { entries: NamedEntry[] }

interface NamedEntry extends BasisEntry {
  writerName: string
  namedBy: string[]
  /** Brought by another device whose joining has no second name. */
  isJoined: boolean
}

/** Against the week published last before this one, or the first where this one comes before all; nothing in a book without any. */
export async function basisLines({ db, today }: Pick<Desk, 'db' | 'today'>, inputs: WeekInputs): Promise<BasisLine[]> {
  const starts = await publishedStarts(db)
  const last = starts.findLast((start) => start < inputs.weekStartOn) ?? starts[0]
  const before = last && (await findPublishedWeek(db, last))
  if (!before) return []
  const { weekStartOn } = inputs
  const inForce = await entriesInForce(db, weekStartOn)
  const { seq } = await db.selectFrom('entry').select('seq').where('id', '=', before.id).executeTakeFirstOrThrow()
  const unknown = await unknownTo(db, { id: before.id, seq })
  const found = [
    ...basisChanges(before.inputs, inputs).map((line) => ({
      line,
      ids: TABLES_OF[line.what].flatMap((table) => inForce[table].get(line.plotId) ?? []),
    })),
    ...(await writtenSince({ db, seq, unknown, weekStartOn, today })).map((line) => ({
      line,
      ids: [line.entryId, ...(line.earlierIds ?? [])],
    })),
  ]
  const named = await namedEntries(
    db,
    found.flatMap(({ ids }) => ids),
  )
  return found.map(({ line, ids }) => ({ ...line, entries: ids.flatMap((id) => named.get(id) ?? []) }))
}

type Table = 'plotDetail' | 'plotHolder' | 'plotHousehold'

/** Where each thing is written; all that is known of a new plot is new. */
const TABLES_OF: Record<BasisChange['what'], readonly Table[]> = {
  areaM2: ['plotDetail'],
  shares: ['plotDetail'],
  persons: ['plotHousehold'],
  holders: ['plotHolder'],
  isNew: ['plotDetail', 'plotHolder', 'plotHousehold'],
}

/** By table and plot, the entry that holds on a day. */
async function entriesInForce(db: Database, on: CalendarDate): Promise<Record<Table, Map<Id<'plot'>, string>>> {
  const ofTable = (table: Table) =>
    db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .select([`${table}.entryId`, 'plotId', 'fromOn', 'entry.seq'])
      .where(standing(table))
  const [details, holders, households] = await askTogether(
    db,
    ofTable('plotDetail'),
    ofTable('plotHolder'),
    ofTable('plotHousehold'),
  )
  const byPlot = (rows: typeof details) =>
    new Map(latestOfEach(rows, ({ plotId }) => plotId, on).map(({ plotId, entryId }) => [plotId, entryId]))
  return { plotDetail: byPlot(details), plotHolder: byPlot(holders), plotHousehold: byPlot(households) }
}

/** Entries by id, with whoever wrote them and put a second name under them. */
async function namedEntries(db: Database, ids: readonly string[]): Promise<Map<string, NamedEntry>> {
  if (ids.length === 0) return new Map()
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.writtenBy', 'person.name'])
    .where('entry.id', 'in', ids)
    .execute()
  const names = await namesByEntry(db)
  // Whoever joined what another device brought answers for it as if it were written here.
  const joiners = await joinersOf(db, ids)
  return new Map(
    rows.map(({ id, writtenBy, name }) => {
      const namedBy = (names.get(id) ?? []).map((one) => one.name)
      const joinerId = joiners.get(id)
      const named = { writerName: name, names: namedBy.length, namedBy, isJoined: joinerId !== undefined }
      return [id, { id, writerId: joinerId ?? writtenBy, ...named }]
    }),
  )
}
