import { beforeEach, describe, expect, it } from 'vitest'
import { periodWater } from '../../../server/fees/reconcile/water.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const SPAN = { from: '2026-06-01', to: '2026-06-04' }
const JUNE = '/money/agree?period=month&on=2026-06-04'

let book: MoneyBook
let tomo: Visitor
let pumpId: string

beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
  const pump = { number: '1', name: 'Lower', weirId: book.weirId, usualFlow: '5' }
  await book.ada.fill('/works/pumps/new', pump)
  pumpId = (await book.db.selectFrom('pump').select('entryId').executeTakeFirstOrThrow()).entryId
})

/** A turn read on the pump's meter. */
const turn = (onDate: string, openingM3: number, closingM3: number) =>
  book.deliver({ pumpId, onDate, method: 'meter', openingM3, closingM3, volumeM3: closingM3 - openingM3 })

async function readPump(moment: 'dawn' | 'dusk', onDate: string, meter: string) {
  const dela = await book.signedIn('Dela')
  const page = await dela.fill('/log/round?as=meter', {
    pumpId,
    moment,
    onDate,
    meter,
    atTime: moment === 'dawn' ? '06:00' : '18:00',
  })
  expect(page.status).toBe(200)
}

describe('the pumped water of a period', () => {
  it('goes by the turns read by meter where the pump itself was not read', async () => {
    await turn('2026-06-02', 100, 104)
    await turn('2026-06-03', 106, 110)
    // 4 and 4 in the turns, 2 between them.
    expect(await periodWater(book.db, SPAN)).toMatchObject({
      ...{ pumpedM3: 10, throughPumpsM3: 8, unexplainedM3: 2 },
      basis: { readDays: 0, turnDays: 2 },
    })
    expect(told(await tomo.open(JUNE))).toMatch(
      /Pumped, by the pumps' meters 2 pump days by the turns read by meter .*10.* m³/,
    )
  })

  it('goes by the readings at dawn and dusk where there are some, and says on how many days which', async () => {
    await readPump('dawn', '2026-06-02', '100')
    await readPump('dusk', '2026-06-02', '107')
    await turn('2026-06-02', 100, 104)
    await turn('2026-06-03', 107, 110)
    // Read on the 2nd: 7; drawn on the 3rd: 3. Logged: 4 and 3.
    expect(await periodWater(book.db, SPAN)).toMatchObject({
      ...{ pumpedM3: 10, throughPumpsM3: 7, unexplainedM3: 3 },
      basis: { readDays: 1, turnDays: 1 },
    })
    expect(told(await tomo.open(JUNE))).toMatch(/1 pump day read at dawn and dusk, 1 by the turns read by meter/)
  })

  it('takes water for flushing for logged, and its tolerance from the errors of the tools', async () => {
    await turn('2026-06-02', 100, 104)
    const rinsed = { use: 'flushing', plotId: null, pumpId, method: 'meter' } as const
    await book.deliver({ ...rinsed, onDate: '2026-06-02', openingM3: 104, closingM3: 106, volumeM3: 2 })
    const water = (await periodWater(book.db, SPAN))!
    expect(water).toMatchObject({ pumpedM3: 6, throughPumpsM3: 6, unexplainedM3: 0 })
    // 0.2 for each of two readings of one meter, which lean the same way.
    expect(water.toleranceM3).toBeCloseTo(0.4, 9)
  })

  it('is not said where no meter was read', async () => {
    await book.deliver({})
    expect(await periodWater(book.db, SPAN)).toBeNull()
  })
})
