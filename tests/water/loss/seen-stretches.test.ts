import { expect, it } from 'vitest'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { restDue } from '../../../server/water/storage/loss.ts'
import { seenStretches } from '../../../server/water/storage/seen-store.ts'

const body = wedgeSandBody({
  ...{ crestLevelM: 100, crestHeightM: 2, crestWidthM: 15, bedSlope: 0.01, valleyShape: 'rectangle' },
  specificYield: { low: 0.22, likely: 0.26, high: 0.3 },
})
const calm = { weirId: 'fig', readAt: '06:10', hoursSincePumping: 12, flowSeen: false }
const readings = [
  { ...calm, readOn: '2026-06-01', waterLevelM: 99.5 },
  { ...calm, readOn: '2026-06-05', waterLevelM: 99.3 },
  { ...calm, readOn: '2026-06-11', waterLevelM: 99.1 },
] as unknown as Parameters<typeof seenStretches>[0]['readings']
const day = (onDate: string, m3: number, weirId = 'fig') => ({ weirId, onDate, cropsM3: m3, handM3: 0, pumpedM3: m3 })
const look = (drawn: ReturnType<typeof day>[], wetDays: string[] = []) =>
  seenStretches({ body, readings, dailyDrinkingM3: 0, book: { drawn, wetDays } as never }, '2026-06-12')

it('water that was drawn on the day of a dawn reading is gone after it, and counts in one stretch alone', () => {
  const drawn = [day('2026-06-01', 1), day('2026-06-04', 2), day('2026-06-05', 4), day('2026-06-10', 8)]
  const beside = [day('2026-05-31', 100), day('2026-06-11', 100), day('2026-06-06', 100, 'reed')]
  expect(look([...drawn, ...beside]).map(({ drawnM3, pumpedM3 }) => [drawnM3, pumpedM3])).toEqual([
    [3, 3],
    [12, 12],
  ])
})

it('what is drunk every day is gone for each day of a stretch', () => {
  const drunk = (dailyDrinkingM3: number) =>
    seenStretches({ body, readings, dailyDrinkingM3, book: { drawn: [], wetDays: [] } as never }, '2026-06-12')
  expect(drunk(0.7).map(({ days, drawnM3 }) => [days, drawnM3])).toEqual([
    [4, expect.closeTo(2.8, 9)],
    [6, expect.closeTo(4.2, 9)],
  ])
})

it('rain on the day of a dawn reading makes the stretch after it wet', () => {
  const kinds = (wetOn: string) => look([], [wetOn]).map(({ kind }) => kind)
  expect(kinds('2026-06-01')).toEqual(['wet', 'dry'])
  expect(kinds('2026-06-05')).toEqual(['dry', 'wet'])
  expect(kinds('2026-06-11')).toEqual(['dry', 'dry'])
})

it('flow that was seen with a reading makes wet the stretches on both sides of it, and a full weir leaves them out', () => {
  const kinds = (at: number, odd: object) => {
    const seen = readings.map((one, place) => (place === at ? { ...one, ...odd } : one))
    const book = { drawn: [], wetDays: [] } as never
    return seenStretches({ body, readings: seen, dailyDrinkingM3: 0, book }, '2026-06-12').map(({ kind }) => kind)
  }
  const flowed = [0, 1, 2].map((at) => kinds(at, { flowSeen: true }))
  expect(flowed).toEqual([
    ['wet', 'dry'],
    ['wet', 'wet'],
    ['dry', 'wet'],
  ])
  const full = [0, 1, 2].map((at) => kinds(at, { waterLevelM: 100.01 }))
  expect(full).toEqual([
    ['not-reckoned', 'dry'],
    ['not-reckoned', 'not-reckoned'],
    ['dry', 'not-reckoned'],
  ])
})

it('a rest is asked for from the first day of a season to its last, four weeks after the one before', () => {
  const season = { seasonStartOn: '2026-06-01', seasonEndOn: '2026-10-31' }
  const due = (on: string, rests: string[] = []) =>
    restDue({ on, season, reading: readings[0]!, rests: rests.map((toOn) => ({ toOn })) as never })
  expect(['2026-05-31', '2026-06-01', '2026-10-31', '2026-11-01'].map((on) => due(on) !== null)).toEqual([
    false,
    true,
    true,
    false,
  ])
  expect(due('2026-06-29', ['2026-06-01'])).toBeNull()
  expect(due('2026-06-30', ['2026-06-01'])).toEqual({ lastOn: '2026-06-01' })
})
