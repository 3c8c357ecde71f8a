import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { askedLitres, type ProvenWeek, SOLVER_GAP, smallCase } from './optima.ts'

const proven: ProvenWeek[] = JSON.parse(readFileSync(new URL('./optima.json', import.meta.url), 'utf8'))

/** The part of the greatest served volume, as HiGHS 1.15.3 proved it, that the turns of a timetable serve. */
function servedPart(turns: readonly PlannedTurn[], { optimumLitres }: ProvenWeek): number {
  return turns.reduce((litres, { volumeM3 }) => litres + Math.round(volumeM3 * 1000), 0) / optimumLitres
}

describe('beside the greatest volume that any timetable can serve', () => {
  it('has at least thirty proven weeks to stand beside', () => {
    expect(proven.length).toBeGreaterThanOrEqual(30)
  })

  it('breaks no rule, serves at least 98 per cent in every week and all of it in the middle one', () => {
    const parts = proven.map((week) => {
      const input = smallCase(week.number)
      expect(askedLitres(input)).toBe(week.askedLitres)
      const result = timetable(input)
      expect(checkTimetable({ input, result })).toEqual([])
      return servedPart(result.turns, week)
    })
    expect(Math.min(...parts)).toBeGreaterThanOrEqual(0.98)
    expect(Math.max(...parts)).toBeLessThanOrEqual(1 + SOLVER_GAP + 1e-5) // more would mean that a rule is missing
    expect(parts.sort((a, b) => a - b)[Math.floor(parts.length / 2)]).toBeGreaterThanOrEqual(1 - SOLVER_GAP)
  })
})
