import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import type { TankFill, TimetableTank } from '../../../../domain/rotation/timetable/types.ts'
import { type ByHand, byHand, codesOf, MONDAY, TUESDAY } from './by-hand.ts'

/** A tank that holds 10 m3 and keeps 2; its outlet gives 6 m3/h, 100 litres a minute, from 4:00 to 20:00 outside the pump's hours of 8 to 16. */
interface WithTank extends ByHand {
  tank: TimetableTank
  fill(startMinute: number, minutes: number, volumeM3: number, more?: Partial<TankFill>): TankFill
}

type Case = [what: string, plan: (week: WithTank) => unknown, said: string[]]

const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)
const holds = (w: WithTank, startM3: number) => set(w.tank, { startM3 })
const draw = (w: WithTank, startMinute: number, minutes: number, volumeM3?: number) =>
  w.turn('a', 'low', startMinute, minutes, volumeM3 === undefined ? {} : { volumeM3 })

const filling: Case[] = [
  ['to the brim', (w) => [holds(w, 5), w.fill(480, 50, 5)], []],
  ['a litre over the brim', (w) => [holds(w, 5), w.fill(480, 51, 5.001)], ['tank-above-capacity']],
  ['with all that the pump gives', (w) => [holds(w, 4), w.fill(480, 60, 6)], []],
  ['with a litre more than it gives', (w) => [holds(w, 2), w.fill(480, 60, 6.001)], ['fill-beyond-surplus']],
  ['up to the pump’s last minute', (w) => [holds(w, 2), w.fill(950, 10, 1)], []],
  ['a minute into the night', (w) => [holds(w, 2), w.fill(951, 10, 1)], ['fill-beyond-surplus']],
  ['a minute before the pump', (w) => [holds(w, 2), w.fill(479, 10, 1)], ['fill-beyond-surplus']],
  ['with a litre', (w) => [holds(w, 2), w.fill(480, 10, 0.001)], []],
  ['with nothing', (w) => [holds(w, 2), w.fill(480, 10, 0)], ['fill-unknown']],
  ['with part of a litre', (w) => [holds(w, 2), w.fill(480, 10, 0.5005)], ['fill-unknown']],
  ['before no day', (w) => w.fill(-1, 600, 1), ['fill-unknown']],
  ['beside every minute of the day', (w) => [holds(w, 2), w.fill(0, 1440, 1)], []],
  ['after no day', (w) => w.fill(480, 961, 1), ['fill-unknown']],
  ['at half a minute', (w) => w.fill(480.5, 60, 1), ['fill-unknown']],
  ['from half a minute', (w) => w.fill(480.5, 59.5, 1), ['fill-unknown']],
  ['to half a minute', (w) => w.fill(480, 60.5, 1), ['fill-unknown']],
  ['from a pump that is not its own', (w) => w.fill(480, 60, 1, { pumpId: 'other' }), ['fill-unknown']],
  ['twice a day, up to the brim', (w) => [holds(w, 5), w.fill(480, 30, 3), w.fill(600, 20, 2)], []],
  [
    'twice a day, beyond the brim',
    (w) => [holds(w, 5), w.fill(480, 30, 3), w.fill(600, 21, 2.001)],
    ['tank-above-capacity'],
  ],
  [
    'on two days, beyond the brim on the second',
    (w) => [holds(w, 5), w.fill(480, 30, 3), w.fill(600, 21, 2.001, { on: TUESDAY })],
    ['tank-above-capacity'],
  ],
]

const besidePump: Case[] = [
  ['what a direct turn leaves', (w) => [half(w), holds(w, 2), w.turn('d', 'head', 600, 60), w.fill(600, 60, 3)], []],
  [
    'a litre more',
    (w) => [half(w), holds(w, 2), w.turn('d', 'head', 600, 60), w.fill(600, 60, 3.001)],
    ['fill-beyond-surplus'],
  ],
  ['all after the direct turn', (w) => [holds(w, 2), w.turn('d', 'head', 600, 60), w.fill(660, 60, 6)], []],
  [
    'all, a minute too early',
    (w) => [holds(w, 2), w.turn('d', 'head', 600, 60), w.fill(659, 60, 6)],
    ['fill-beyond-surplus'],
  ],
  [
    'all, a minute too late',
    (w) => [holds(w, 2), w.turn('d', 'head', 600, 60), w.fill(541, 60, 6)],
    ['fill-beyond-surplus'],
  ],
  ['all beside another pump’s turn', (w) => [holds(w, 2), w.turn('d', 'far', 600, 60), w.fill(600, 60, 6)], []],
  ['all on another day', (w) => [holds(w, 2), w.turn('d', 'head', 600, 60, { on: TUESDAY }), w.fill(600, 60, 6)], []],
  ['all once the pump is open', (w) => [holds(w, 2), closed(w, {}), w.fill(540, 60, 6)], []],
  ['all a minute sooner', (w) => [holds(w, 2), closed(w, {}), w.fill(539, 60, 6)], ['fill-beyond-surplus']],
  [
    'all a minute sooner, this pump told',
    (w) => [holds(w, 2), closed(w, { pumpId: 'pump' }), w.fill(539, 60, 6)],
    ['fill-beyond-surplus'],
  ],
  [
    'all a minute sooner, this day told',
    (w) => [holds(w, 2), closed(w, { on: MONDAY }), w.fill(539, 60, 6)],
    ['fill-beyond-surplus'],
  ],
  ['all while another day is closed', (w) => [holds(w, 2), closed(w, { on: TUESDAY }), w.fill(480, 60, 6)], []],
  ['all while another pump is closed', (w) => [holds(w, 2), closed(w, { pumpId: 'other' }), w.fill(480, 60, 6)], []],
  ['all while an outlet is closed', (w) => [holds(w, 2), closed(w, { outletId: 'head' }), w.fill(480, 60, 6)], []],
  [
    'all before the pump closes',
    (w) => [holds(w, 2), w.input.unavailable.push({ fromHour: 9 }), w.fill(480, 60, 6)],
    [],
  ],
  [
    'all a minute into that',
    (w) => [holds(w, 2), w.input.unavailable.push({ fromHour: 9 }), w.fill(481, 60, 6)],
    ['fill-beyond-surplus'],
  ],
]

const emptying: Case[] = [
  ['to what is kept', (w) => [holds(w, 5), draw(w, 1000, 30)], []],
  ['a litre below what is kept', (w) => [holds(w, 5), draw(w, 1000, 31, 3.001)], ['tank-below-floor']],
  ['part of a litre that nobody counts on', (w) => [holds(w, 5.0009), draw(w, 1000, 31, 3.001)], ['tank-below-floor']],
  ['a litre beyond the outlet’s flow', (w) => [holds(w, 9), draw(w, 1000, 30, 3.001)], ['volume-beyond-flow']],
  ['all but the last minute and a litre', (w) => [holds(w, 9), draw(w, 1000, 30, 2.901)], []],
  ['with a minute too many', (w) => [holds(w, 9), draw(w, 1000, 30, 2.89)], ['turn-longer-than-its-water']],
  ['with minutes too many only as the shortest may', (w) => [holds(w, 9), draw(w, 1000, 10, 0.3)], []],
  ['what was filled that day', (w) => [holds(w, 2), w.fill(480, 30, 3), draw(w, 1000, 30)], []],
  [
    'what is filled the day after',
    (w) => [holds(w, 2), w.fill(480, 30, 3, { on: TUESDAY }), draw(w, 1000, 30)],
    ['tank-below-floor'],
  ],
  [
    'what was filled the day before',
    (w) => [holds(w, 2), w.fill(480, 30, 3), w.turn('a', 'low', 300, 30, { on: TUESDAY })],
    [],
  ],
  [
    'twice, a litre below with the second',
    (w) => [holds(w, 5), draw(w, 1000, 15), w.turn('b', 'low', 1020, 16, { volumeM3: 1.501 })],
    ['tank-below-floor'],
  ],
  ['after the pump and the walk', (w) => [holds(w, 9), draw(w, 965, 30)], []],
  ['a minute before the walk is over', (w) => [holds(w, 9), draw(w, 964, 30)], ['gravity-in-pump-hours']],
  ['until the walk to the pump', (w) => [holds(w, 9), draw(w, 445, 30)], []],
  ['a minute into that walk', (w) => [holds(w, 9), draw(w, 446, 30)], ['gravity-in-pump-hours']],
  ['from its first hour', (w) => [holds(w, 9), draw(w, 240, 30)], []],
  ['a minute before', (w) => [holds(w, 9), draw(w, 239, 30)], ['outside-gravity-hours']],
  ['to its last hour', (w) => [holds(w, 9), draw(w, 1170, 30)], []],
  ['a minute after', (w) => [holds(w, 9), draw(w, 1171, 30)], ['outside-gravity-hours']],
  ['across two stretches that touch', (w) => [gravity(w, 18, 18), holds(w, 9), draw(w, 1065, 30)], []],
  ['across two that do not', (w) => [gravity(w, 18, 18.1), holds(w, 9), draw(w, 1065, 30)], ['outside-gravity-hours']],
  [
    'at any hour where none is told',
    (w) => [set(w.tank, { gravityHours: undefined }), holds(w, 9), draw(w, 1410, 30)],
    [],
  ],
]

function half({ outlet }: ByHand): void {
  set(outlet('head'), { flowM3PerH: 3 })
}

function closed({ input }: ByHand, more: object): void {
  input.unavailable.push({ fromHour: 8, toHour: 9, ...more })
}

function gravity({ tank }: WithTank, until: number, from: number): void {
  set(tank, {
    gravityHours: [
      { fromHour: 4, toHour: until },
      { fromHour: from, toHour: 20 },
    ],
  })
}

function judged(plan: (week: WithTank) => unknown): string[] {
  const week = byHand()
  const tank: TimetableTank = {
    id: 'tank',
    pumpId: 'pump',
    capacityM3: 10,
    floorM3: 2,
    startM3: 2,
    gravityHours: [{ fromHour: 4, toHour: 20 }],
  }
  week.input.tanks = [tank]
  week.input.outlets.push({ id: 'low', pumpId: 'pump', flowM3PerH: 6, tankId: 'tank' })
  week.result.fills = []
  const fill: WithTank['fill'] = (startMinute, minutes, volumeM3, more = {}) => {
    const one = { tankId: 'tank', pumpId: 'pump', on: MONDAY, startMinute, endMinute: startMinute + minutes, volumeM3 }
    week.result.fills!.push({ ...one, ...more })
    return week.result.fills!.at(-1)!
  }
  plan({ ...week, tank, fill })
  return codesOf(checkTimetable(week))
}

describe('the judge: a tank is filled', () => {
  it.each(filling)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge: a tank takes of its pump', () => {
  it.each(besidePump)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge: a tank gives', () => {
  it.each(emptying)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))

  it('its water to two outlets, and its pump’s surplus to a second tank only once it has its own', () => {
    const two = (secondM3: number) =>
      judged((w) => {
        w.input.tanks!.unshift({ id: 'upper', pumpId: 'pump', capacityM3: 20, floorM3: 0, startM3: 0 })
        w.fill(480, 60, 4)
        w.fill(480, 60, secondM3, { tankId: 'upper' })
      })
    expect(two(2)).toEqual([])
    expect(two(2.001)).toEqual(['fill-beyond-surplus'])
  })
})
