import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { seasonBalance } from '../../../server/water/balance/state.ts'
import { OWN_GROUP } from '../../support/book.ts'
import { runs } from '../../support/runs.ts'
import { type Fields, optionValue, type Visitor } from '../../support/visitor.ts'
import { abstractionsBook, addDawnLevel, addDryDays, typePage } from '../book.ts'

// By hand, as in page-balance.test.ts: 1.60 m to 1.20 m of depth is 202.5 x (1.6² - 1.2²) = 226.8 m3.
const FALL_LITRES = 226_800
const [FIRST, LAST] = ['2026-06-02', '2026-06-09']
const WEEKS_LATER = '2026-07-01T15:00:00Z'
/** The meter of the test book has five digits and begins again behind the last of them. */
const RANGE_LITRES = 10 ** 5 * 1000

/** A draw as it happened: how much, whether the meter was changed in it, and how it came into the book. */
const draw = fc.record({
  litres: fc.integer({ min: 1, max: 20_000 }),
  wayIn: fc.constantFrom('paper' as const, 'screen' as const, 'nobody' as const),
  replacedAt: fc.option(
    fc.record({ part: fc.double({ min: 0, max: 1, noNaN: true }), newFirst: fc.integer({ min: 0, max: 9 }) }),
    {
      freq: 3,
    },
  ),
  /** What was read wrong at first and corrected later; only at the pump itself. */
  misreadLitres: fc.option(fc.integer({ min: 1, max: 2000 }), { freq: 3 }),
})

type Draw = typeof draw extends fc.Arbitrary<infer D> ? D : never

interface Line extends Draw {
  onDate: string
  opening: string
  closing: string
  replacement: { oldLast: string; newFirst: string } | null
}

describe('any log of a dry stretch, with a meter that begins again or is replaced, corrections, and paper typed in late', () => {
  it('leaves exactly what nobody wrote down, as unexplained and never as recharge or loss', async () => {
    const log = fc.record({
      startsAt: fc.integer({ min: RANGE_LITRES - 40_000, max: RANGE_LITRES - 1 }),
      draws: fc.array(draw, { minLength: 1, maxLength: 7 }),
    })
    await fc.assert(
      fc.asyncProperty(log, async ({ startsAt, draws }) => {
        const book = await abstractionsBook()
        const { ada, db, setNow, writing } = book
        await writing(async (pen) => {
          await addDryDays(pen, '2026-06-01', 11)
          await addDawnLevel(pen, book.weirId, FIRST!, 90)
          await addDawnLevel(pen, book.weirId, LAST!, 130)
        })
        const lines = linesOf(draws, startsAt)
        for (const line of lines)
          if (line.wayIn === 'screen' || (line.wayIn === 'paper' && line.replacement)) await logLive(ada, line)
        setNow(WEEKS_LATER)
        await ada.fill('/sign-in', { signInName: 'ada', password: OWN_GROUP.password })
        const page = lines.filter((line) => line.wayIn === 'paper' && !line.replacement)
        const cells = page.map(({ onDate, opening, closing }) => ({ onDate, place: '3', opening, closing }))
        for (const _ of ['first', 'again']) if (cells.length) await typePage(ada, 'pump-log', '1', cells)

        const written = lines.filter(({ wayIn }) => wayIn !== 'nobody')
        const litres = written.reduce((sum, line) => sum + line.litres, 0)
        expect(await listAbstractions(db, { fromOn: FIRST!, toOn: LAST! })).toHaveLength(written.length)
        const { group } = await seasonBalance(db, answers.water, { group: (await currentGroup(db))!, on: '2026-07-01' })
        expect(Math.round(group.drawnM3 * 1000)).toBe(litres)
        expect(Math.round(group.unexplainedM3 * 1000)).toBe(FALL_LITRES - litres)
        expect([group.rechargeM3, group.lossM3, group.notReckonedM3]).toEqual([0, 0, 0])
        await db.destroy()
      }),
      runs(10),
    )
  }, 120_000)
})

/** The readings as the meter showed them, one draw after the other, a draw a day. */
function linesOf(draws: readonly Draw[], startsAt: number): Line[] {
  let meter = startsAt
  return draws.map((one, day) => {
    const opening = read(meter)
    const { replacedAt, litres } = one
    const before = replacedAt ? Math.round(litres * replacedAt.part) : 0
    const replacement = replacedAt ? { oldLast: read(meter + before), newFirst: String(replacedAt.newFirst) } : null
    meter = replacedAt ? replacedAt.newFirst * 1000 + (litres - before) : (meter + litres) % RANGE_LITRES
    return { ...one, onDate: addDays(FIRST!, day), opening, closing: read(meter), replacement }
  })
}

function read(litres: number): string {
  return String((litres % RANGE_LITRES) / 1000)
}

/** At the pump, with a slip of the pen that is corrected before the week is over. */
async function logLive(ada: Visitor, { onDate, opening, closing, replacement, misreadLitres }: Line): Promise<void> {
  const form = await ada.open(`/log/water?use=irrigation&method=${replacement ? 'replaced' : 'meter'}`)
  const where = { place: optionValue(form, 'place', 'Outlet 3'), plotId: optionValue(form, 'plotId', 'Mango'), onDate }
  const readings: Fields = { opening, closing, ...replacement }
  const first = misreadLitres === null ? closing : read(Number(closing) * 1000 + misreadLitres)
  const entry = await ada.send(form, { ...where, ...readings, closing: first })
  expect(entry.path).toMatch(/^\/log\/lines\/drawn\//)
  if (misreadLitres === null) return
  const corrected = await ada.fill(`${entry.path}/correct`, { closing, reason: 'misread' })
  expect(corrected.path).not.toBe(entry.path)
}
