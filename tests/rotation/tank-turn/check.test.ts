import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type {
  PlannedTurn,
  TankFill,
  TimetableInput,
  TimetableResult,
} from '../../../domain/rotation/timetable/types.ts'
import { tankWeekByHand } from './examples.ts'

/** The week worked by hand, in which one thing will be broken. `b` and `c` come by gravity, on Monday and Tuesday evening. */
interface Sound {
  input: TimetableInput
  result: TimetableResult
  fill: TankFill
  b: PlannedTurn
  c: PlannedTurn
}

const tankOf = ({ input }: Sound) => input.tanks![0]!

const faults: Record<string, (sound: Sound) => unknown> = {
  'tank-above-capacity': (sound) => set(tankOf(sound), { capacityM3: 5.5 }),
  'tank-above-capacity (more stands in it)': (sound) => set(tankOf(sound), { startM3: 1.1 }),
  'tank-below-floor (kept back for the stand)': (sound) => set(tankOf(sound), { floorM3: 1.5 }),
  'tank-below-floor (less stands in it)': (sound) => set(tankOf(sound), { startM3: 0.5 }),
  'tank-below-floor (no filling)': ({ result }) => set(result, { fills: [] }),
  'tank-below-floor (filled after the turn)': ({ fill, result }) =>
    set(result, { fills: [{ ...fill, on: '2026-03-03' }, ...result.fills!.slice(1)] }),
  'fill-beyond-surplus (the direct turn draws more)': ({ input }) => set(input.outlets[0]!, { flowM3PerH: 2.5 }),
  'fill-beyond-surplus (shorter than its water)': ({ fill }) => set(fill, { endMinute: fill.endMinute - 30 }),
  'fill-beyond-surplus (while the pump is closed)': ({ input }) =>
    input.unavailable.push({ pumpId: 'pump', on: '2026-03-02', fromHour: 8, toHour: 10 }),
  'fill-unknown (tank)': ({ fill }) => set(fill, { tankId: 'other' }),
  'fill-unknown (day)': ({ fill }) => set(fill, { on: '2026-03-09' }),
  'fill-unknown (part of a litre)': ({ fill }) => set(fill, { volumeM3: 4.9995 }),
  'gravity-in-pump-hours': ({ b }) => move(b, 900),
  'gravity-in-pump-hours (no walk)': ({ b }) => move(b, 960),
  'outside-gravity-hours': (sound) => set(tankOf(sound), { gravityHours: [{ fromHour: 6, toHour: 18 }] }),
  'volume-beyond-flow': ({ input }) => set(input.outlets[1]!, { flowM3PerH: 1.9 }),
  'turn-longer-than-its-water': ({ b }) => set(b, { endMinute: b.endMinute + 5, hours: b.hours + 5 / 60 }),
  'turn-while-closed': ({ input }) => input.unavailable.push({ on: '2026-03-03', outletId: 'lower', fromHour: 16 }),
  'holder-cannot': ({ input }) => set(input.allocations[1]!, { canNot: [{ fromHour: 17, toHour: 24 }] }),
  'start-off-grid': ({ b }) => move(b, 966),
  'turn-too-short': ({ input }) => set(input.rules, { minTurnMinutes: 100 }),
  'turn-above-longest': ({ input }) => set(input.rules, { maxTurnMinutes: 100 }),
  'too-many-outlets-open': ({ c, b }) => [set(c, { on: b.on, order: 3 }), move(c, b.startMinute + 5)],
  'order-broken': ({ b }) => set(b, { order: 1 }),
  'volume-not-accounted': ({ b }) => set(b, { volumeM3: 3.999 }),
  'burdens-differ': ({ b }) => set(b, { burdens: ['dawn'] }),
  'reason-untrue (hours)': ({ input, result, c }) => [
    set(input.allocations[2]!, { volumeM3: 3 + 100 }),
    result.unplacedM3.push({ claimId: c.claimId, outletId: c.outletId, volumeM3: 100, reason: 'tank-full' }),
  ],
  'reason-untrue (nobody else draws)': ({ input, result, c }) => [
    set(input, { allocations: [set(input.allocations[2]!, { volumeM3: 4 })] }),
    set(result, {
      turns: [set(c, { order: 1 })],
      fills: result.fills!.slice(1),
      unplacedM3: [{ claimId: 'c', outletId: 'lower', volumeM3: 1, reason: 'pump-full' }],
    }),
    set(tankOfInput(input), { startM3: 2 }),
  ],
}

const tankOfInput = (input: TimetableInput) => input.tanks![0]!

describe('the judge of a timetable with a tank', () => {
  it('finds nothing in the week worked by hand', () => {
    const { input, result } = sound()
    expect(checkTimetable({ input, result })).toEqual([])
  })

  it.each(Object.entries(faults))('finds %s', (name, plant) => {
    const broken = sound()
    plant(broken)
    const codes = checkTimetable(broken).map(({ code }) => code)
    expect(codes).toContain(name.split(' ')[0])
  })
})

function sound(): Sound {
  const input = tankWeekByHand()
  const result = timetable(input)
  const [b, c] = ['b', 'c'].map((id) => result.turns.find(({ claimId }) => claimId === id)!)
  return { input, result, fill: result.fills![0]!, b: b!, c: c! }
}

function set<T extends object>(thing: T, values: Partial<T>): T {
  return Object.assign(thing, values)
}

function move(turn: PlannedTurn, startMinute: number): PlannedTurn {
  return set(turn, { startMinute, endMinute: startMinute + turn.endMinute - turn.startMinute })
}
