import { group } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Litres } from '../../../domain/units.ts'
import { bucketFlow, flowTestChange } from '../../../domain/works/bucket.ts'
import type { Facts } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listOutlets, type Outlet } from '../pump/store.ts'
import { tankJoinings } from '../tank/outlet-store.ts'

/** How clear the sky was while a pump on panels ran. */
export const SKIES = ['clear', 'half', 'dull'] as const
export type Sky = (typeof SKIES)[number]

/** An outlet is tested again after a month (common practice, no source). */
const RETEST_AFTER_DAYS = 30

interface BucketTest {
  outletId: Id<'outlet'>
  testedOn: CalendarDate
  containerLitres: Litres
  seconds: number[]
  pumpState: string
  remark: string | null
}

/** A flow test with the timings that made it; all hang on one entry. */
export function bucketTestFacts({
  outletId,
  testedOn,
  containerLitres,
  seconds,
  pumpState,
  remark,
}: BucketTest): Facts {
  const { flowM3PerH } = bucketFlow({ containerLitres, seconds })
  return {
    outletFlowTest: [{ outletId, testedOn, flowM3PerH }],
    flowTestNote: [{ containerLitres, pumpState, remark }],
    bucketTiming: seconds.map((timing, place) => ({ place, seconds: timing })),
  }
}

/** One bucket of a set-up sheet, on which nobody wrote how clear the sky was; the litres follow from flow and seconds. */
export function setUpTestFacts(
  test: Pick<BucketTest, 'outletId' | 'testedOn' | 'containerLitres'> & { seconds: number },
): Facts {
  const { outletId, testedOn, containerLitres, seconds } = test
  const { flowM3PerH } = bucketFlow({ containerLitres, seconds: [seconds] })
  return { outletFlowTest: [{ outletId, testedOn, flowM3PerH }], bucketTiming: [{ place: 0, seconds }] }
}

interface TestLine {
  id: string
  testedOn: CalendarDate
  flowM3PerH: number
  seconds: number[]
  pumpState: string | null
  /** Against the test before it; null for the first. */
  changeFraction: number | null
  fellByAFifth: boolean
}

/** Every test of every outlet, newest first, each beside the one before it. */
export async function testsByOutlet(db: Database): Promise<Map<string, TestLine[]>> {
  const flows = await flowsByOutlet(db)
  const ids = [...flows.values()].flatMap((lines) => lines.map(({ id }) => id))
  const timings = group(await timingRows(db, ids).execute(), ({ entryId }) => entryId)
  const secondsOf = (id: string) => (timings.get(id) ?? []).map(({ seconds }) => seconds)
  return new Map(
    [...flows].map(([outletId, lines]) => [outletId, lines.map((line) => ({ ...line, seconds: secondsOf(line.id) }))]),
  )
}

/** The same without the timings that made them. */
export async function flowsByOutlet(db: Database): Promise<Map<string, Omit<TestLine, 'seconds'>[]>> {
  const rows = await db
    .selectFrom('outletFlowTest')
    .innerJoin('entry', 'entry.id', 'outletFlowTest.entryId')
    .leftJoin('flowTestNote', 'flowTestNote.entryId', 'outletFlowTest.entryId')
    .select(['entry.id', 'outletId', 'testedOn', 'flowM3PerH'])
    .select('flowTestNote.pumpState')
    .where(standing('outletFlowTest'))
    .orderBy('testedOn')
    .orderBy(asWritten)
    .execute()
  const joinings = await tankJoinings(db)
  const tests = new Map<string, Omit<TestLine, 'seconds'>[]>()
  for (const { outletId, ...row } of rows) {
    const earlier = tests.get(outletId)?.[0]
    // Through another pipe another flow is no fall.
    const isSamePipe = (one: Joining) =>
      one.outletId !== outletId || writtenOn(one) > row.testedOn || writtenOn(one) <= earlier!.testedOn
    const { changeFraction, fellByAFifth } =
      earlier && joinings.every(isSamePipe)
        ? flowTestChange({ earlierM3PerH: earlier.flowM3PerH, laterM3PerH: row.flowM3PerH })
        : { changeFraction: null, fellByAFifth: false }
    tests.set(outletId, [{ ...row, changeFraction, fellByAFifth }, ...(tests.get(outletId) ?? [])])
  }
  return tests
}

type Joining = Awaited<ReturnType<typeof tankJoinings>>[number]

/** From this day on a test measures what the joining brings. */
function writtenOn({ writtenAt }: Joining): CalendarDate {
  return writtenAt.slice(0, 10)
}

/**
 * Outlets with what their pump brings through them: the flow of a test that was made for a tank which feeds them only from a day to come says nothing
 * of that, and is left out.
 */
export async function outletsUnderPump(db: Database, today: CalendarDate): Promise<Outlet[]> {
  const toCome = (await tankJoinings(db)).filter(({ tankId, fromOn }) => tankId && fromOn > today)
  const isOfTank = ({ id, testedOn }: Outlet) =>
    toCome.some((one) => one.outletId === id && testedOn !== null && testedOn >= writtenOn(one))
  return (await listOutlets(db, today)).map((outlet) => (isOfTank(outlet) ? { ...outlet, flowM3PerH: null } : outlet))
}

export function retestDueOn({ testedOn }: { testedOn: CalendarDate }): CalendarDate {
  return addDays(testedOn, RETEST_AFTER_DAYS)
}

/** The timings of buckets, in the order in which they were taken. */
export function timingRows(db: Database, ids: readonly string[]) {
  return db
    .selectFrom('bucketTiming')
    .selectAll()
    .where('entryId', 'in', [...ids])
    .orderBy('place')
}

export function isToTest({ testedOn }: Pick<Outlet, 'testedOn'>, today: CalendarDate): boolean {
  return testedOn === null || retestDueOn({ testedOn }) <= today
}

/** Outlets of which a bucket test has grown old by a day, or was never made. */
export async function outletsToTest(db: Database, today: CalendarDate): Promise<Outlet[]> {
  return (await listOutlets(db, today)).filter((outlet) => isToTest(outlet, today))
}
