import { beforeAll, expect, it } from 'vitest'
import { appendEntry } from '../../server/book/entries.ts'
import { restRefusal } from '../../server/rotation/rest-refusal.ts'
import { openValley } from '../support/valley.ts'

const MONDAY = '2026-12-07'

let valley: Awaited<ReturnType<typeof openValley>>
/** One outlet of each weir's pumps, by the number of the weir, and every outlet of the first weir. */
let outletOf: Map<number, string[]>
beforeAll(async () => {
  valley = await openValley()
  const rows = await valley.db
    .selectFrom('outlet')
    .innerJoin('pumpDetail', 'pumpDetail.pumpId', 'outlet.pumpId')
    .innerJoin('weir', 'weir.entryId', 'pumpDetail.weirId')
    .select(['outlet.entryId as id', 'weir.number'])
    .orderBy('outlet.number')
    .execute()
  outletOf = new Map([1, 2].map((number) => [number, rows.filter((row) => row.number === number).map(({ id }) => id)]))
})

/** The weirs that the refusal names; null where none is said. */
async function refused(...outletIds: string[]): Promise<string | null> {
  const format = { weekday: (on: string) => on }
  const told = await restRefusal({ db: valley.db, format } as never, { on: MONDAY, outletIds })
  return told && String(told[1].weir)
}

/** On Mondays these weirs rest; all where none is named. */
async function settleRest(weirs: number[]) {
  const { db } = valley
  const ids = await db
    .selectFrom('weir')
    .select('entryId')
    .where('number', 'in', [0, ...weirs])
    .execute()
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const share = { fromOn: '2026-11-25', permitM3: null, permitYearStart: '01-01', warnPart: 0.8, words: 'it rests' }
  const facts = {
    streamShare: [share],
    streamRestDay: [{ weekday: 1 }],
    streamRestWeir: ids.map(({ entryId }) => ({ weirId: entryId })),
  }
  const pen = { writtenBy, writtenAt: '2026-11-25T06:00:00.000Z' }
  await db.transaction().execute((trx) => appendEntry({ trx, ...pen }, { kind: 'stream-share' }, facts))
}

it('says that weirs rest where every one that could serve the outlets does, by those weirs alone', async () => {
  const [first, second] = [outletOf.get(1)!, outletOf.get(2)!]
  expect(await refused(...first)).toBeNull()
  await settleRest([1])
  expect(await refused(first[0]!)).toBe('1')
  expect(await refused(...first)).toBe('1')
  expect(await refused(second[0]!)).toBeNull()
  expect(await refused(first[0]!, second[0]!)).toBeNull()
  expect(await refused()).toBeNull()
  await settleRest([])
  expect(await refused(second[0]!)).toBe('2')
  expect(await refused(first[0]!, second[0]!)).toBe('1, 2')
})
