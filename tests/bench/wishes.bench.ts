import { wishesMet } from '../../domain/rotation/fairness/wishes-met.ts'
import { timetable } from '../../domain/rotation/timetable/timetable.ts'
import type { PlannedTurn, TimetableInput } from '../../domain/rotation/timetable/types.ts'
import { sum } from '../../domain/sum.ts'
import { openSolver } from '../rotation/allocation/by-programmes.ts'
import { exactWeek } from './weeks/exact.ts'
import { wishedWeek } from './weeks/wished-week.ts'

const WEEKS = 20
const SMALL_LITRES = 500

interface Counts {
  servedLitres: number
  met: number
  idleMinutes: number
  valveChanges: number
  small: number
}

/** Wishes met, idle minutes of the pump, valve changes and small turns: without looking at wishes, as it is, and the proven best. */
export async function run(): Promise<string[]> {
  const highs = await openSolver()
  const ways: Record<'blind' | 'ours' | 'exact', Counts[]> = { blind: [], ours: [], exact: [] }
  let wished = 0
  for (let seed = 0; seed < WEEKS; seed++) {
    const input = wishedWeek(seed)
    const exact = exactWeek(highs, input)
    if (!exact) continue
    wished += input.allocations.filter((one) => one.wished).length
    const blind = { ...input, allocations: input.allocations.map(({ wished: _, ...allocation }) => allocation) }
    ways.blind.push(countsOf(input, timetable(blind).turns))
    ways.ours.push(countsOf(input, timetable(input).turns))
    ways.exact.push({
      servedLitres: exact.servedLitres,
      met: exact.wishesMet,
      idleMinutes: pumpMinutes(input) - sum(exact.turns, ({ minutes }) => minutes),
      valveChanges: exact.turns.length,
      small: exact.turns.filter(({ litres }) => litres < SMALL_LITRES).length,
    })
  }
  const names = {
    blind: 'without looking at wishes',
    ours: 'as it is',
    exact: 'exact (most water, then wishes, then fewest turns)',
  }
  return [
    `${ways.exact.length} small weeks of ${WEEKS} proven, ${wished} wishes`,
    ...(['blind', 'ours', 'exact'] as const).map((way) => `${names[way]}: ${inWords(ways[way], wished)}`),
  ]
}

function inWords(weeks: readonly Counts[], wished: number): string {
  const all = (of: keyof Counts) => sum(weeks, (week) => week[of])
  const part = Math.round((100 * all('met')) / wished)
  return `${all('met')} wishes met (${part} %), ${all('servedLitres')} litres, ${all('idleMinutes')} idle minutes, ${all('valveChanges')} valve changes, ${all('small')} turns under ${SMALL_LITRES} litres`
}

function countsOf(input: TimetableInput, turns: readonly PlannedTurn[]): Counts {
  const wishes = input.allocations.flatMap(({ plotId, wished = [] }) =>
    wished.map(({ on, fromHour = 0, toHour = 24 }) => ({ plotId, weekday: weekdayIn(input, on!), fromHour, toHour })),
  )
  return {
    servedLitres: sum(turns, ({ volumeM3 }) => Math.round(volumeM3 * 1000)),
    met: wishesMet({ wishes, turns }).met,
    idleMinutes: pumpMinutes(input) - sum(turns, ({ startMinute, endMinute }) => endMinute - startMinute),
    valveChanges: turns.length,
    small: turns.filter(({ volumeM3 }) => volumeM3 * 1000 < SMALL_LITRES).length,
  }
}

/** The weeks begin on a Monday. */
function weekdayIn({ week }: TimetableInput, on: string): number {
  return week.days.indexOf(on) + 1
}

function pumpMinutes({ pumps }: TimetableInput): number {
  return (
    60 *
    sum(
      pumps,
      ({ flowM3PerHByDay }) =>
        Object.values(flowM3PerHByDay)
          .flat()
          .filter((flow) => flow > 0).length,
    )
  )
}
