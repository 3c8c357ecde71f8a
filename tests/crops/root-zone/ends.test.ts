import { describe, expect, it } from 'vitest'
import { addDays, daysBetween } from '../../../domain/calendar.ts'
import { rootZoneOutlook, type WateredDay } from '../../../domain/crops/root-zone/outlook.ts'
import { daysBefore, plan } from '../plot.ts'

const TODAY = '2026-02-20'
const BROUGHT_MM = 0.5
const SIDES = [-1, 0, 1] as const
/** Seven tenths of the way to the wet end, likely, and as much of it to the dry end. */
const ends = (wet: number, likely: number, dry: number) => [
  likely + 0.7 * (wet - likely),
  likely,
  likely + 0.7 * (dry - likely),
]

const known = (days: WateredDay[], change: Partial<Parameters<typeof rootZoneOutlook>[0]> = {}) => {
  const found = rootZoneOutlook({
    ...{ plan: plan(), today: TODAY, days, bookFromOn: '2025-12-01' },
    availableMmPerM: { low: 560, likely: 600, high: 620 },
    efficiency: { low: 0.75, likely: 0.85, high: 0.9 },
    rainRule: { thresholdMm: 4, fraction: 0.7 },
    ...change,
  })
  if (!found.known) expect.fail('not known')
  return found
}
/** Kept full to 17 days before today, then dried slowly, so that nothing drains and nothing suffers; but for one day. */
const daysWith = (daysAgo: number, change: Partial<WateredDay> = {}) =>
  daysBefore(TODAY, 50).map((day) => ({
    ...{ ...day, broughtMm: day.date < addDays(TODAY, -17) ? 9 : BROUGHT_MM },
    ...(day.date === addDays(TODAY, -daysAgo) ? change : {}),
  }))

describe('the ends of what the roots hold', () => {
  const dry = known(daysWith(99))
  /** How much less a run lacks on the eve of today by what one day brought. */
  const brought = (daysAgo: number, change: Partial<WateredDay>) => {
    const found = known(daysWith(daysAgo, change))
    return SIDES.map((side) => {
      const eve = ({ runs }: typeof found) => runs[side].find(({ date }) => date === addDays(TODAY, -1))!.depletionMm
      return eve(dry) - eve(found)
    })
  }
  const close = (values: number[]) => values.map((value) => expect.closeTo(value, 9))

  it('take rain a fifth more and less, and water brought by its method, each seven tenths of the way', () => {
    // 12 mm of rain are beyond one and a half times the threshold: seven tenths count, give or take a fifth.
    expect(brought(5, { rainMm: 12 })).toEqual(close(ends(12 * 0.7 * 1.2, 12 * 0.7, 12 * 0.7 * 0.8)))
    expect(brought(5, { broughtMm: BROUGHT_MM + 8 })).toEqual(close(ends(8 * 0.9, 8 * 0.85, 8 * 0.75)))
  })

  it('count no more than all of a rain, at the wet end too', () => {
    const all = { rainRule: { thresholdMm: 4, fraction: 1 } }
    const eve = (days: WateredDay[]) =>
      known(days, all).runs[-1].find(({ date }) => date === addDays(TODAY, -1))!.depletionMm
    expect(eve(daysWith(99)) - eve(daysWith(5, { rainMm: 12 }))).toBeCloseTo(12, 9)
  })

  it('go apart from the fourteenth day back on, and not before', () => {
    expect(brought(14, { broughtMm: BROUGHT_MM + 8 })).toEqual(close(ends(8 * 0.9, 8 * 0.85, 8 * 0.75)))
    expect(brought(15, { broughtMm: BROUGHT_MM + 8 })).toEqual(close([6.8, 6.8, 6.8]))
  })

  it('hold more and less ground water, and a demand off by its own error and that of the coefficient together', () => {
    const held = SIDES.map((side) => dry.runs[side].at(-1)!.totalAvailableMm / dry.runs[0].at(-1)!.totalAvailableMm)
    expect(held).toEqual(close(ends(620, 600, 560).map((mm) => mm / 600)))
    const error = Math.hypot(0.15, dry.expected.errorFraction)
    const etoMm = dry.expected.etoMmPerDay
    expect(SIDES.map((side) => dry.etoMmPerDay[side])).toEqual(
      close(ends(etoMm * (1 - error), etoMm, etoMm * (1 + error))),
    )
  })

  it('take a day without a written rain for wet where nobody can say, and for a seventh less use where it was dry', () => {
    const unwritten = daysWith(3, { rainMm: null })
    const [open, none] = [known(unwritten), known(unwritten, { unwrittenRain: 'none' })]
    const lackAfter = ({ runs }: typeof open, side: -1 | 0 | 1) =>
      runs[side].find(({ date }) => date === addDays(TODAY, -3))!.depletionMm
    expect([lackAfter(open, -1), lackAfter(open, 0), lackAfter(open, 1)]).toEqual(
      close([0, lackAfter(dry, 0), lackAfter(dry, 1)]),
    )
    // The use of that day, 15 of a hundred less of it at the wet end.
    const before = dry.runs[-1].find(({ date }) => date === addDays(TODAY, -4))!.depletionMm
    const cameMm = BROUGHT_MM * (0.85 + 0.7 * 0.05)
    expect(lackAfter(none, -1) - before + cameMm).toBeCloseTo(0.85 * (lackAfter(dry, -1) - before + cameMm), 9)
    expect([lackAfter(none, 0), lackAfter(none, 1)]).toEqual(close([lackAfter(dry, 0), lackAfter(dry, 1)]))
  })
})

describe('what is told of the days to come', () => {
  it('goes from today ninety days ahead, and ends with yesterday behind', () => {
    const young = plan({ plantedOn: '2026-02-10' })
    const { past, ahead } = known(daysWith(99), { plan: young })
    expect([past.at(-1)!.date, ahead[0]!.date, ahead.at(-1)!.date]).toEqual([
      addDays(TODAY, -1),
      TODAY,
      addDays(TODAY, 89),
    ])
  })

  it('names the last day to water on the cautious side, the eve of its first day of stress, and none once that has come', () => {
    const states = new Set<string>()
    for (let mm = 0; mm <= 80; mm += 4) {
      const { daysLeft, waterByOn, runs } = known(daysWith(1, { broughtMm: mm }), {
        availableMmPerM: { low: 100, likely: 120, high: 130 },
      })
      const first = runs[1].find(({ date, stress }) => date >= TODAY && stress < 1)?.date
      expect(daysLeft.earliest).toBe(first ? daysBetween(TODAY, first) : null)
      expect(waterByOn).toBe(first && first > TODAY ? addDays(first, -1) : null)
      states.add(
        first === undefined ? 'never' : first === TODAY ? 'today' : first === addDays(TODAY, 1) ? 'tomorrow' : 'later',
      )
    }
    expect(states).toContain('today')
    expect(states).toContain('later')
    // Of a crop that is harvested tomorrow no stress is to come.
    const harvested = known(daysWith(1, { broughtMm: 99 }), { plan: plan({ harvestedOn: TODAY }) })
    expect([harvested.daysLeft.earliest, harvested.waterByOn]).toEqual([null, null])
  })

  it('knows its start where the book began on the day of sowing, and does not where it began a day later', () => {
    const from = (bookFromOn: string | null) => {
      const { startUnknown, startMm } = known(daysWith(99), { bookFromOn })
      return [startUnknown, startMm[-1], startMm[0] > 0, startMm[1] / (startMm[0] || 1)]
    }
    expect(from('2026-01-01')).toEqual([false, 0, false, 0])
    expect(from(null)).toEqual([false, 0, false, 0])
    const [unknown, wet, likely] = from('2026-01-02')
    expect([unknown, wet, likely]).toEqual([true, 0, true])
  })
})
