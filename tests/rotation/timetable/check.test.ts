import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type {
  PlannedTurn,
  TimetableInput,
  TimetableResult,
  UnplacedVolume,
} from '../../../domain/rotation/timetable/types.ts'
import { smallWeek } from './examples.ts'

/** A sound timetable in which one thing will be broken; `a` and `b` follow each other on one day. */
interface Sound {
  input: TimetableInput
  result: TimetableResult
  a: PlannedTurn
  b: PlannedTurn
}

const MORE: UnplacedVolume = { claimId: 'c1', outletId: 'head', volumeM3: 1, reason: 'pump-full' }

const faults: Record<string, (sound: Sound) => unknown> = {
  'turn-without-allocation': ({ a }) => set(a, { claimId: 'nobody' }),
  'turn-for-another-plot': ({ a }) => set(a, { plotId: 'p9' }),
  'outlet-on-another-pump': ({ a }) => set(a, { pumpId: 'other' }),
  'day-outside-week': ({ a }) => set(a, { on: '2026-03-09' }),
  'not-minutes-of-the-day': ({ a }) => set(a, { startMinute: a.startMinute + 0.5 }),
  'turn-id-twice': ({ a, b }) => set(a, { id: b.id }),
  'turn-broken-within-day': ({ a, b }) => set(b, { claimId: a.claimId, plotId: a.plotId, outletId: a.outletId }),
  'start-off-grid': ({ b }) => move(b, b.startMinute + 1),
  'turn-too-short': ({ input }) => set(input.rules, { minTurnMinutes: 1440 }),
  'turn-above-longest': ({ input }) => set(input.rules, { maxTurnMinutes: 30 }),
  'hours-differ': ({ a }) => set(a, { hours: a.hours + 0.1 }),
  'pump-gives-nothing': ({ a }) => move(a, 0),
  'turn-while-closed (outlet)': ({ input, a }) => input.unavailable.push({ on: a.on, outletId: a.outletId }),
  'turn-while-closed (pump)': ({ input, a }) => input.unavailable.push({ pumpId: 'pump', ...lastMinuteOf(a) }),
  'turn-while-closed (all)': ({ input, a }) => input.unavailable.push({ on: a.on }),
  'holder-cannot': ({ input, a }) => set(allocationOf(input, a), { canNot: [lastMinuteOf(a)] }),
  'order-broken': ({ a, b }) => [set(a, { order: 2 }), set(b, { order: 1 })],
  'outlet-held-twice': ({ input, a, b }) => [
    set(allocationOf(input, b), { outletId: a.outletId }),
    move(set(b, { outletId: a.outletId }), a.endMinute),
  ],
  'outlets-not-together': ({ input, a, b }) => [
    set(input, { together: [{ pumpId: 'pump', atMost: 2, pairs: [] }] }),
    move(b, a.endMinute - 5),
  ],
  'too-many-outlets-open (overlap)': ({ b, a }) => move(b, a.endMinute - 5),
  'too-many-outlets-open (changeover)': ({ b, a }) => move(b, a.endMinute),
  'too-many-outlets-open (filling)': ({ input, b }) =>
    set(input.outlets.find(({ id }) => id === b.outletId)!, { fillingMinutes: 30 }),
  'volume-beyond-flow (turn)': ({ a }) => set(a, { volumeM3: a.volumeM3 + 0.1 }),
  'volume-beyond-flow (outlet)': ({ input }) => input.outlets.map((outlet) => set(outlet, { flowM3PerH: 1.5 })),
  'volume-beyond-flow (pump)': ({ input, a }) => set(input.pumps[0]!.flowM3PerHByDay, { [a.on]: Array(24).fill(0.4) }),
  'volume-beyond-flow (left by the earlier)': ({ input, a, b }) => [
    set(input, { together: [{ pumpId: 'pump', atMost: 2 }] }),
    move(b, a.startMinute),
  ],
  'turn-longer-than-its-water': ({ a }) => set(a, { volumeM3: a.volumeM3 - 0.2 }),
  'not-whole-litres': ({ a }) => set(a, { volumeM3: a.volumeM3 - 0.0004 }),
  'volume-not-accounted (less)': ({ a }) => set(a, { volumeM3: a.volumeM3 - 0.001 }),
  'volume-not-accounted (turn lost)': ({ result }) => result.turns.pop(),
  'volume-not-accounted (more)': ({ result }) => result.unplacedM3.push(MORE),
  'unplaced-without-allocation': ({ result }) => result.unplacedM3.push({ ...MORE, outletId: 'tail' }),
  'unplaced-twice': ({ result }) => result.unplacedM3.push(MORE, MORE),
  'unplaced-without-reason': ({ result }) => result.unplacedM3.push({ ...MORE, reason: '' as 'pump-full' }),
  'reason-untrue': ({ result }) => result.unplacedM3.push({ ...MORE, reason: 'no-flow' }),
  'note-untrue-or-missing (untrue)': ({ result }) => result.notes.push({ code: 'tail-after-head', pumpId: 'pump' }),
  'note-untrue-or-missing (missing)': ({ input, a }) => set(allocationOf(input, a), { latestOn: '2026-03-01' }),
  'burdens-differ': ({ a }) => set(a, { burdens: ['night'] }),
}

function set<T extends object>(target: T, change: Partial<T>): T {
  return Object.assign(target, change)
}

function move(turn: PlannedTurn, startMinute: number): PlannedTurn {
  return set(turn, { startMinute, endMinute: turn.endMinute + startMinute - turn.startMinute })
}

function lastMinuteOf({ on, endMinute }: PlannedTurn) {
  return { on, fromHour: (endMinute - 1) / 60, toHour: endMinute / 60 }
}

function allocationOf(input: TimetableInput, turn: PlannedTurn) {
  return input.allocations.find(({ claimId }) => claimId === turn.claimId)!
}

function sound(): Sound {
  const input = smallWeek()
  const result = timetable(smallWeek())
  const at = result.turns.findIndex(({ on }, index) => result.turns[index + 1]?.on === on)
  const [a, b] = result.turns.slice(at) as [PlannedTurn, PlannedTurn]
  return { input, result, a, b }
}

describe('the judge', () => {
  it('finds nothing in a sound timetable', () => {
    expect(checkTimetable(sound())).toEqual([])
  })

  it.each(Object.entries(faults))('finds %s', (name, plant) => {
    const timetabled = sound()
    plant(timetabled)
    const [code] = name.split(' ')
    expect(checkTimetable(timetabled).map((problem) => problem.code)).toContain(code)
  })
})
