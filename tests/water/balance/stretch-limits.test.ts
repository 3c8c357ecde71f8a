import { expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { balanceOf, draw, holding, weirOf } from './book.ts'

const FIRST = '2025-06-05'
/** A week's stretch with rain of so many mm on days counted from its first reading; all other days are written dry. */
const week = (rain: Record<number, number | null>, more: object = {}) => {
  const days = Array.from({ length: 9 }, (_, at) => at - 1)
  const written = days.flatMap((at) => {
    const rainMm = at in rain ? rain[at]! : 0
    return rainMm === null ? [] : [{ fellOn: addDays(FIRST, at), rainMm }]
  })
  const readings = [holding(FIRST, 300), holding(addDays(FIRST, 7), 293)]
  const { kind, reasons } = balanceOf([weirOf('upper', readings, more)], { rain: written }).stretches[0]!
  return [kind, reasons]
}

it('a stretch is wet by rain beyond the mark from its first day to the eve of its last', () => {
  expect(week({})).toEqual(['dry', []])
  expect(week({ 0: 10.1 })).toEqual(['wet', ['rain-above-mark']])
  expect(week({ 6: 10.1 })).toEqual(['wet', ['rain-above-mark']])
  expect([week({ '-1': 99 }), week({ 7: 99 }), week({ 3: 10 })]).toEqual(Array(3).fill(['dry', []]))
})

it('a stretch says that its rain was not written from one missing day on, and not for days before and after it', () => {
  expect(week({ 0: null })).toEqual(['dry', ['rain-not-written']])
  expect(week({ 6: null })).toEqual(['dry', ['rain-not-written']])
  expect([week({ '-1': null }), week({ 7: null })]).toEqual(Array(2).fill(['dry', []]))
})

it('of readings in any order the first of each day counts, from the day on from which the sand is described', () => {
  const bodies = [{ ...weirOf('upper', []).bodies[0]!, fromOn: FIRST }]
  const at = (day: number, m3: number) => holding(addDays(FIRST, day), m3)
  const readings = [at(7, 250), at(-1, 700), at(0, 300), at(3, 280), at(3, 10), at(7, 20)]
  const { stretches } = balanceOf([weirOf('upper', readings, { bodies })])
  const told = stretches.map(({ fromOn, toOn, openingM3, closingM3 }) => [
    fromOn,
    toOn,
    Math.round(openingM3),
    Math.round(closingM3),
  ])
  expect(told).toEqual([
    [FIRST, addDays(FIRST, 3), 300, 280],
    [addDays(FIRST, 3), addDays(FIRST, 7), 280, 250],
  ])
})

it('a wet stretch that gained is recharged, and one that lost more than was told has no recharge', () => {
  const wet = (closingM3: number, drawnM3 = 0) => {
    const readings = [holding(FIRST, 300), holding(addDays(FIRST, 7), closingM3, { flowNoted: true })]
    const { stretches } = balanceOf([weirOf('upper', readings)], { abstractions: [draw('upper', FIRST, drawnM3)] })
    const { rechargeM3, unexplainedM3 } = stretches[0]!
    return [Math.round(rechargeM3), Math.round(unexplainedM3)]
  }
  // Seven m3 are lost in the week.
  expect(wet(340)).toEqual([47, 0])
  expect(wet(310, 20)).toEqual([37, 0])
  expect(wet(250)).toEqual([0, 43])
  expect(wet(250, 20)).toEqual([0, 23])
})
