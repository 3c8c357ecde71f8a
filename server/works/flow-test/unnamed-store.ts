import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { changesMuch } from '../../../domain/works/bucket.ts'
import type { Facts } from '../../book/entries.ts'
import { anyWaits, NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { approvals } from '../../book/names/approvals.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { flowsByOutlet } from './store.ts'

interface Tested {
  outletId: Id<'outlet'>
  testedOn: CalendarDate
  flowM3PerH: number
}

/** Hours are turned into water by it, and water into money: a test that is far from those before it waits for another officer's name. */
export async function nameForTest(db: Database, { outletId, ...test }: Tested): Promise<Facts> {
  const lines = (await flowsByOutlet(db)).get(outletId) ?? []
  return (await farBefore(db, lines, test)) ? NAME_NEEDED : {}
}

/** A bucket is filled anew within the days of a spell, so that many small steps of one hand are one large one. Own choice. */
const SPELL_DAYS = 30

/**
 * The last test before one that it is far from: of the tests since another officer put a name under one, as far as they lie within a spell, and of
 * the last before that spell. `lines` are those before it, the newest first.
 */
async function farBefore<L extends { id: string; testedOn: CalendarDate; flowM3PerH: number }>(
  db: Database,
  lines: readonly L[],
  { testedOn, flowM3PerH }: Omit<Tested, 'outletId'>,
): Promise<L | undefined> {
  const named = await approvals(db)
  const before = lines.filter((line) => line.testedOn <= testedOn)
  const lastNamed = before.findIndex(({ id }) => named.has(id))
  const since = lastNamed === -1 ? before : before.slice(0, lastNamed + 1)
  return since
    .filter((_, at) => at === 0 || since[at - 1]!.testedOn >= addDays(testedOn, -SPELL_DAYS))
    .find((line) => changesMuch({ earlierM3PerH: line.flowM3PerH, laterM3PerH: flowM3PerH }))
}

interface UnnamedTest extends Tested {
  id: string
  outletNumber: number
  outletName: string
  pumpId: Id<'pump'>
  /** What the last test that it is far from gave. */
  earlierM3PerH: number
  writerName: string
}

/** Tests that count already and wait for the name of somebody else, the latest written first. */
export async function unnamedTests(db: Database): Promise<UnnamedTest[]> {
  if (!(await anyWaits(db, 'flow-test'))) return []
  const rows = await db
    .selectFrom('outletFlowTest')
    .innerJoin('entry', 'entry.id', 'outletFlowTest.entryId')
    .innerJoin('outlet', 'outlet.entryId', 'outletFlowTest.outletId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select([
      'entry.id',
      'outletFlowTest.outletId',
      'testedOn',
      'flowM3PerH',
      'outlet.number as outletNumber',
      'outlet.name as outletName',
    ])
    .select(['outlet.pumpId', 'person.name as writerName'])
    .where(waitsForName('outletFlowTest'))
    .where(standing('outletFlowTest'))
    .orderBy(asWritten, 'desc')
    .execute()
  const flows = await flowsByOutlet(db)
  const found = []
  for (const row of rows) {
    const lines = flows.get(row.outletId)!
    const before = lines.slice(lines.findIndex(({ id }) => id === row.id) + 1)
    const earlier = (await farBefore(db, before, row)) ?? before[0]!
    found.push({ ...row, earlierM3PerH: earlier.flowM3PerH })
  }
  return found
}
