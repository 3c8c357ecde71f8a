import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { changesMuch } from '../../../domain/works/bucket.ts'
import type { Facts } from '../../book/entries.ts'
import { anyWaits, NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { flowsByOutlet } from './store.ts'

interface Tested {
  outletId: Id<'outlet'>
  testedOn: CalendarDate
  flowM3PerH: number
}

/** Hours are turned into water by it, and water into money: a test that is far from the one before it waits for another officer's name. */
export async function nameForTest(db: Database, { outletId, testedOn, flowM3PerH }: Tested): Promise<Facts> {
  const lines = (await flowsByOutlet(db)).get(outletId) ?? []
  const earlier = lines.find((line) => line.testedOn <= testedOn)
  const isFar = earlier && changesMuch({ earlierM3PerH: earlier.flowM3PerH, laterM3PerH: flowM3PerH })
  return isFar ? NAME_NEEDED : {}
}

interface UnnamedTest extends Tested {
  id: string
  outletNumber: number
  outletName: string
  pumpId: Id<'pump'>
  /** What the test before it gave. */
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
  return rows.map((row) => {
    const lines = flows.get(row.outletId)!
    const earlier = lines[lines.findIndex(({ id }) => id === row.id) + 1]!
    return { ...row, earlierM3PerH: earlier.flowM3PerH }
  })
}
