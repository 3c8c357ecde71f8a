import { describe, expect, it } from 'vitest'
import { plausibility } from '../../../domain/abstractions/plausibility/flags.ts'
import type { PlausibilityInput, TurnFacts } from '../../../domain/abstractions/plausibility/logged-turn.ts'
import { countedInstead } from '../../../domain/abstractions/plausibility/most-counted.ts'

/**
 * Each flag at its limit and a litre or a minute beyond. Two hours; the pump gives 8 m3/h and the outlet 4, a quarter over either is
 * still no matter: 10 m3/h are fast for the pump and 5 for the outlet, 10 m3 are the most that one believes, 80 a day of 8 hours.
 */
const PLACE: TurnFacts = { outletId: '6', pumpId: 'upper', meterId: 'm' }
const HOURS = { startAt: '2031-07-03T08:00:00Z', stopAt: '2031-07-03T10:00:00Z' }
const FLOWS = { pumpMaxM3PerH: 8, outletMaxM3PerH: 4, pumpDayHours: 8, toleranceFraction: 0.25 }

const told = (turn: Partial<TurnFacts>, more: Partial<PlausibilityInput> = FLOWS) =>
  plausibility({ ...more, turn: { ...PLACE, ...turn } })
const causes = (turn: Partial<TurnFacts>, more: Partial<PlausibilityInput> = FLOWS) =>
  told(turn, more).map(({ code, likelyCause }) => `${code}: ${likelyCause}`)

describe('how fast a turn was', () => {
  const fast = (volumeM3: number, more: Partial<PlausibilityInput> = {}) =>
    causes({ ...HOURS, volumeM3 }, { ...FLOWS, ...more })

  it.each([
    [10, []],
    [10.001, ['faster-than-outlet: two-outlets-open']],
    [16, ['faster-than-outlet: two-outlets-open']],
    [16.001, ['faster-than-outlet: flow-test-out-of-date']],
    [20, ['faster-than-outlet: flow-test-out-of-date']],
    [20.001, ['faster-than-pump: date-or-clock-wrong', 'faster-than-outlet: flow-test-out-of-date']],
    [500, ['faster-than-pump: date-or-clock-wrong', 'faster-than-outlet: flow-test-out-of-date']],
    [500.001, ['faster-than-pump: litres-read-as-m3', 'faster-than-outlet: litres-read-as-m3']],
    [10_000, ['faster-than-pump: litres-read-as-m3', 'faster-than-outlet: litres-read-as-m3']],
    [10_001, ['faster-than-pump: date-or-clock-wrong', 'faster-than-outlet: flow-test-out-of-date']],
  ])('%d m3 in two hours', (volumeM3, expected) => expect(fast(volumeM3)).toEqual(expected))

  it('is a tenth over the test at every flow and length, and a litre more is a flag', () => {
    // In litres 11 x minutes x tenths of a m3 an hour / 6, where that is a whole number.
    const cases = [10, 20, 45, 55, 90, 130].flatMap((minutes) =>
      Array.from({ length: 100 }, (_, at) => ({ minutes, tenths: at + 1, litres: (11 * minutes * (at + 1)) / 6 })),
    )
    const whole = cases.filter(({ litres }) => Number.isInteger(litres))
    const isFast = ({ minutes, tenths }: (typeof cases)[number], litres: number) => {
      const stopAt = new Date(Date.parse(HOURS.startAt) + minutes * 60_000).toISOString()
      const turn = { startAt: HOURS.startAt, stopAt, volumeM3: litres / 1000 }
      return causes(turn, { outletMaxM3PerH: tenths / 10 }).some((cause) => cause.startsWith('faster-than-outlet'))
    }
    expect(whole.length).toBeGreaterThan(200)
    expect(whole.filter((one) => isFast(one, one.litres))).toEqual([])
    expect(whole.filter((one) => !isFast(one, one.litres + 1))).toEqual([])
  })

  it('is judged by what is known: the pump alone, the outlet alone, nothing', () => {
    expect(fast(10.001, { outletMaxM3PerH: undefined })).toEqual([])
    expect(fast(20.001, { outletMaxM3PerH: undefined })).toEqual(['faster-than-pump: date-or-clock-wrong'])
    expect(fast(10.001, { pumpMaxM3PerH: undefined })).toEqual(['faster-than-outlet: flow-test-out-of-date'])
    expect(fast(1e6, { pumpMaxM3PerH: undefined, outletMaxM3PerH: undefined })).toEqual([])
  })

  it('is not known of a turn without its hours, or with none between them', () => {
    for (const hours of [{}, { startAt: HOURS.startAt }, { stopAt: HOURS.stopAt }, { ...HOURS, stopAt: HOURS.startAt }])
      expect(causes({ ...hours, volumeM3: 79 })).toEqual([])
  })
})

describe('more than was planned', () => {
  const PLAN = { plan: { ...HOURS, volumeM3: 8 }, toleranceFraction: 0.25 }

  it('begins beyond a quarter, and points to the amount written or to a taker at the meter', () => {
    expect(causes({ volumeM3: 10 }, PLAN)).toEqual([])
    expect(causes({ volumeM3: 10.001 }, PLAN)).toEqual(['more-than-planned: amount-written-wrong'])
    expect(causes({ openingM3: 1.1, closingM3: 11.1 }, PLAN)).toEqual([])
    expect(causes({ openingM3: 1.1, closingM3: 11.101 }, PLAN)).toEqual(['more-than-planned: unrecorded-taker'])
  })

  it('points to swapped digits where the swap brings at most twice the plan', () => {
    // 2100 less 1184 are 916; written 1200, they are 16.
    const swap = ['more-than-planned: digits-swapped']
    expect(causes({ openingM3: 1184, closingM3: 2100 }, PLAN)).toEqual(swap)
    expect(causes({ openingM3: 1183, closingM3: 2100 }, PLAN)).toEqual(['more-than-planned: unrecorded-taker'])
    // 1200 would bring nothing over an opening of 1200.
    expect(causes({ openingM3: 1200, closingM3: 2100 }, PLAN)).toEqual(['more-than-planned: unrecorded-taker'])
  })
})

describe('readings that run back', () => {
  it('are none where nothing passed, or one of them is missing', () => {
    expect(causes({ ...HOURS, openingM3: 1000, closingM3: 1000 })).toEqual([])
    expect(causes({ ...HOURS, openingM3: 1000 })).toEqual([])
    expect(causes({ ...HOURS, closingM3: 1000 })).toEqual([])
  })

  it('are exchanged where that brings no more than one believes', () => {
    const [flag] = told({ ...HOURS, openingM3: 1010, closingM3: 1000 })
    expect(flag).toEqual({
      code: 'closing-below-opening',
      values: { openingM3: 1010, closingM3: 1000, volumeM3: 10 },
      likelyCause: 'readings-exchanged',
    })
    expect(causes({ ...HOURS, openingM3: 1010.001, closingM3: 1000 })).toEqual(['closing-below-opening: cannot-tell'])
    // Ten are ten wherever the counter stands, or digits that may have been swapped.
    const tenths = Array.from({ length: 400 }, (_, at) => at + 1)
    const lost = tenths.filter((each) =>
      causes({ ...HOURS, openingM3: (each + 100) / 10, closingM3: each / 10 }).some((cause) =>
        /cannot-tell/.test(cause),
      ),
    )
    expect(lost).toEqual([])
  })

  it('went over the last digit where that brings no more than one believes, and the meter has so few digits', () => {
    const over = (openingM3: number, meterDigits?: number) =>
      told({ ...HOURS, openingM3, closingM3: 4, meterDigits })[0]
    expect(over(994, 3)).toMatchObject({ likelyCause: 'meter-rolled-over', values: { volumeM3: 10 } })
    expect(over(993.999, 3)).toMatchObject({ likelyCause: 'cannot-tell' })
    expect(over(994, 4)).toMatchObject({ likelyCause: 'cannot-tell' })
    expect(over(994)).toMatchObject({ likelyCause: 'cannot-tell' })
  })
})

describe('a reading longer than its meter', () => {
  it('has as many digits as the meter has not, at either end', () => {
    const long = (openingM3: number, closingM3: number) => causes({ openingM3, closingM3, meterDigits: 3 }, {})
    expect(long(990, 999.9)).toEqual([])
    expect(long(990, 1000)).toEqual(['reading-longer-than-meter: litres-read-as-m3'])
    expect(long(1000, 990)).toContain('reading-longer-than-meter: litres-read-as-m3')
    expect(causes({ closingM3: 1000, meterDigits: 3 }, {})).toEqual(['reading-longer-than-meter: litres-read-as-m3'])
    expect(causes({ closingM3: 1000 }, {})).toEqual([])
  })
})

describe('more than a day of the pump', () => {
  const day = (volumeM3: number, more: Partial<PlausibilityInput> = {}) =>
    causes({ openingM3: 8, closingM3: 8 + volumeM3 }, { ...FLOWS, ...more })

  it.each([
    [80, []],
    [80.001, ['more-than-a-pump-day: reading-copied-wrong']],
    [4000, ['more-than-a-pump-day: reading-copied-wrong']],
    [4000.001, ['more-than-a-pump-day: litres-read-as-m3']],
    [80_000, ['more-than-a-pump-day: litres-read-as-m3']],
    [80_001, ['more-than-a-pump-day: reading-copied-wrong']],
  ])('%d m3 without hours', (volumeM3, expected) => expect(day(volumeM3)).toEqual(expected))

  it('is the slip of a pen where a swap brings a day of the pump, or twice the plan, and is told by hours where they stand', () => {
    const plan = { plan: { ...HOURS, volumeM3: 100 }, toleranceFraction: 0.25 }
    // 818 may have been 188: beyond a day of the pump, within twice a plan of 100.
    expect(day(810)).toEqual(['more-than-a-pump-day: reading-copied-wrong'])
    expect(day(810, plan)).toContain('more-than-a-pump-day: digits-swapped')
    // 708 may have been 078.
    expect(causes({ openingM3: 0, closingM3: 708, meterDigits: 3 })).toEqual(['more-than-a-pump-day: digits-swapped'])
    expect(causes({ ...HOURS, volumeM3: 81 })).not.toContain('more-than-a-pump-day: amount-written-wrong')
    expect(causes({ volumeM3: 81 })).toEqual(['more-than-a-pump-day: amount-written-wrong'])
  })

  it('is fourteen hours of sun where the pump’s are not known', () => {
    expect(day(140, { pumpDayHours: undefined })).toEqual([])
    expect(day(140.001, { pumpDayHours: undefined })).toHaveLength(1)
  })
})

describe('what stands in for an absurd volume', () => {
  const most = { mostM3: 10, wholeDayM3: 80 }

  it('carries what was read, or a day of the pump, as its doubt', () => {
    const instead = (readM3: number, byClockM3: number | null, byClockErrorM3: number) =>
      countedInstead({ readM3, byClockM3, byClockErrorM3, most })
    expect(instead(30, null, 0)).toEqual({ volumeM3: 0, uncertaintyM3: 30 })
    expect(instead(500, null, 0)).toEqual({ volumeM3: 0, uncertaintyM3: 80 })
    expect(instead(30, 12, 5)).toEqual({ volumeM3: 12, uncertaintyM3: 18 })
    expect(instead(30, 12, 25)).toEqual({ volumeM3: 12, uncertaintyM3: 25 })
    expect(instead(500, 90, 1)).toEqual({ volumeM3: 80, uncertaintyM3: 1 })
  })
})

describe('a reading beside its neighbour’s', () => {
  const gap = (previousClosingM3: number, openingM3: number, more: Partial<PlausibilityInput> = FLOWS) =>
    causes({ openingM3 }, { ...more, previousClosingM3 })
  const next = (closingM3: number, nextOpeningM3: number) => causes({ closingM3 }, { ...FLOWS, nextOpeningM3 })

  it('is joined within the last step that was read', () => {
    expect(gap(100, 100.1)).toEqual([])
    expect(gap(100.25, 100.26)).toEqual([])
    expect(gap(100.25, 100.27)).toEqual(['gap-to-last-reading: unrecorded-taker'])
    expect(gap(100, 99.8)).toEqual(['gap-to-last-reading: reading-copied-wrong'])
    expect(next(100, 100.1)).toEqual([])
    expect(next(100, 100.3)).toEqual(['gap-to-next-reading: unrecorded-taker'])
    expect(next(100.3, 100)).toEqual(['gap-to-next-reading: reading-copied-wrong'])
  })

  it('is another meter’s beyond thirty days of the pump ahead or one day back', () => {
    expect(gap(100, 2500)).toEqual(['gap-to-last-reading: unrecorded-taker'])
    expect(gap(100, 2500.1)).toEqual(['gap-to-last-reading: meter-replaced'])
    expect(gap(580, 500)).toEqual(['gap-to-last-reading: reading-copied-wrong'])
    expect(gap(580.1, 500)).toEqual(['gap-to-last-reading: meter-replaced'])
    expect(gap(100, 99_000, {})).toEqual(['gap-to-last-reading: unrecorded-taker'])
  })

  it('tells of a gap over the last digit as one ahead', () => {
    const [flag] = told({ openingM3: 3, meterDigits: 3 }, { ...FLOWS, previousClosingM3: 991 })
    expect(flag).toMatchObject({ values: { gapM3: 12 }, likelyCause: 'unrecorded-taker' })
  })

  it('vouches for a reading that it shows, unless nobody read it there', () => {
    // 1291 may be 1219, which leaves 9; of an opening of 1210 no swap helps.
    const speed = (turn: Partial<TurnFacts>, more: Partial<PlausibilityInput>) =>
      told({ ...HOURS, ...turn }, { ...FLOWS, ...more }).find(({ code }) => code === 'faster-than-pump')!
    const closing = { openingM3: 1210, closingM3: 1291 }
    expect(speed(closing, {}).values).toMatchObject({ suggestedClosingM3: 1219, suggestedVolumeM3: 9 })
    expect(speed(closing, { nextOpeningM3: 1291 }).likelyCause).toBe('date-or-clock-wrong')
    expect(speed(closing, { nextOpeningM3: 1290 }).likelyCause).toBe('digits-swapped')
    expect(speed(closing, { nextOpeningM3: 1291, nextStartUnread: true }).likelyCause).toBe('digits-swapped')
    // The other way about: an opening of 1219 may be 1291, which leaves 8; of a closing of 1299 no swap helps.
    const opening = { openingM3: 1219, closingM3: 1299 }
    expect(speed(opening, {}).values).toMatchObject({ suggestedOpeningM3: 1291, suggestedVolumeM3: 8 })
    expect(speed(opening, { previousClosingM3: 1219 }).likelyCause).toBe('date-or-clock-wrong')
    expect(speed(opening, { previousClosingM3: 1218 }).likelyCause).toBe('digits-swapped')
    expect(speed(opening, { previousClosingM3: 1219, startUnread: true }).likelyCause).toBe('digits-swapped')
  })
})
