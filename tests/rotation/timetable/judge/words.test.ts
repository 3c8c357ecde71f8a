import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import type { Burden, TimetableNote } from '../../../../domain/rotation/timetable/types.ts'
import { type ByHand, byHand, MONDAY, sixFrom, TUESDAY } from './by-hand.ts'

const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)

describe('the judge: what is said of burdens', () => {
  const borne = (startMinute: number, minutes: number, more: { burdenWeekdays?: (1 | 2 | 7)[]; on?: string } = {}) => {
    const all: Burden[][] = [[], ['dawn'], ['noon'], ['dawn', 'night'], ['night'], ['rest-weekday']]
    return all.filter((burdens) => {
      const week = byHand()
      const { input } = week
      set(input.pumps[0]!.flowM3PerHByDay, { [more.on ?? MONDAY]: sixFrom(0, 24) })
      set(input.rules, { maxTurnMinutes: undefined, burdenWeekdays: more.burdenWeekdays })
      week.turn('a', 'head', startMinute, minutes, { on: more.on ?? MONDAY, burdens })
      return !checkTimetable(week).some(({ code }) => code === 'burdens-differ')
    })
  }

  it('goes by the minute', () => {
    expect(borne(480, 20)).toEqual([[]])
    expect(borne(479, 20)).toEqual([['dawn']])
    expect(borne(360, 20)).toEqual([['dawn']])
    expect(borne(359, 20)).toEqual([['dawn', 'night']])
    expect(borne(1100, 40)).toEqual([[]])
    expect(borne(1100, 41)).toEqual([['night']])
  })

  it('counts half an hour between twelve and two as noon', () => {
    expect(borne(690, 60)).toEqual([['noon']])
    expect(borne(690, 59)).toEqual([[]])
    expect(borne(810, 60)).toEqual([['noon']])
    expect(borne(811, 60)).toEqual([[]])
  })

  it('counts Sunday unless other days are told', () => {
    expect(borne(600, 20, { on: '2026-03-08' })).toEqual([['rest-weekday']])
    expect(borne(600, 20, { on: '2026-03-08', burdenWeekdays: [1] })).toEqual([[]])
    expect(borne(600, 20, { burdenWeekdays: [1] })).toEqual([['rest-weekday']])
  })

  it('counts the last of several of a pump and day as last', () => {
    const differing = (plan: (w: ByHand) => unknown) => {
      const week = byHand()
      plan(week)
      return checkTimetable(week).flatMap(({ code, values }) => (code === 'burdens-differ' ? [values.turnId] : []))
    }
    const two = (w: ByHand) => [w.turn('a', 'head', 600, 20), w.turn('b', 'middle', 700, 20)]
    expect(differing(two)).toEqual(['b 2026-03-02 700'])
    expect(differing((w) => set(two(w)[1]!, { burdens: ['last'] }))).toEqual([])
    expect(differing((w) => [w.turn('a', 'head', 600, 20), w.turn('b', 'far', 700, 20)])).toEqual([])
    expect(differing((w) => [w.turn('a', 'head', 600, 20), w.turn('b', 'head', 700, 20, { on: TUESDAY })])).toEqual([])
  })
})

describe('the judge: notes', () => {
  const TAIL: TimetableNote = { code: 'tail-after-head', pumpId: 'pump' }
  const differing = (notes: TimetableNote[], plan: (w: ByHand) => unknown) => {
    const week = byHand()
    plan(week)
    set(week.result, { notes })
    return checkTimetable(week).filter(({ code }) => code === 'note-untrue-or-missing').length
  }
  const headAndTail = (w: ByHand, tailFrom: number, on = MONDAY) => {
    w.turn('h', 'head', 600, 20)
    w.turn('t', 'tail', tailFrom, 20, { on })
    set(w.allocation('h'), { linePosition: 1 })
    set(w.allocation('t'), { linePosition: 2 })
  }
  /** Whether the judge wants it said that the tail comes after the head. */
  const isTailLast = (plan: (w: ByHand) => unknown) => {
    const [unsaid, told] = [differing([], plan), differing([TAIL], plan)]
    expect(unsaid + told).toBe(1)
    return told === 0
  }

  it('tell of the tail after the head, from the minute on which the head ends', () => {
    const from = (minute: number, on?: string) => isTailLast((w) => headAndTail(w, minute, on))
    expect([625, 620, 619, 500].map((minute) => from(minute))).toEqual([true, true, false, false])
    expect(from(500, TUESDAY)).toBe(true)
  })

  it('count the head’s last turn and the tail’s first', () => {
    const and = (more: (w: ByHand) => unknown) => isTailLast((w) => [headAndTail(w, 700), more(w)])
    expect(and((w) => w.turn('t', 'tail', 500, 20, { on: TUESDAY }))).toBe(true)
    expect(and((w) => w.turn('h', 'head', 500, 20, { on: TUESDAY }))).toBe(false)
  })

  it('tell nothing where all stand at one place, or nobody at the end has a turn', () => {
    const and = (more: (w: ByHand) => unknown) => isTailLast((w) => [headAndTail(w, 700), more(w)])
    const asked = (volumeM3: number, linePosition: number) => (w: ByHand) =>
      w.input.allocations.push({ claimId: 'm', plotId: 'm', outletId: 'middle', volumeM3, linePosition })
    expect(and((w) => set(w.allocation('t'), { linePosition: 1 }))).toBe(false)
    for (const end of [0, 3]) {
      expect(and(asked(0, end))).toBe(true)
      expect(and(asked(1, end))).toBe(false)
    }
  })

  it('tell of a first turn after the latest day, and of none on it', () => {
    const late = (latestOn: string, more: (w: ByHand) => unknown = () => {}) =>
      differing([], (w) => {
        w.turn('a', 'head', 600, 20, { on: TUESDAY })
        set(w.allocation('a'), { latestOn })
        more(w)
      })
    expect(late(TUESDAY)).toBe(0)
    expect(late(MONDAY)).toBe(1)
    expect(late(MONDAY, (w) => w.turn('a', 'head', 600, 20))).toBe(0)
    expect(late(MONDAY, (w) => w.turn('b', 'middle', 600, 20))).toBe(1)
    expect(late(MONDAY, (w) => w.turn('a', 'middle', 600, 20))).toBe(1)
  })
})
