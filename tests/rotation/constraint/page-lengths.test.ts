import { beforeEach, describe, expect, it } from 'vitest'
import { checkWeek } from '../../../domain/rotation/draft/check.ts'
import { findPublishedWeek } from '../../../server/rotation/published/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

/** Whoever settled how long turns last does not publish by it alone. */
async function published(): Promise<void> {
  const other = await valley.signIn('besi')
  await other.send(await other.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
}

const minutes = ({ startMinute, endMinute }: { startMinute: number; endMinute: number }) => endMinute - startMinute

describe('how long turns last', () => {
  it('is the group’s to set: the next week keeps to it, and weeks that were published do not change', async () => {
    expect((await chair.open('/works')).words).toContain('A turn lasts at least 10 minutes, with 5 minutes')
    const before = (await findPublishedWeek(valley.db, '2026-11-23'))!
    const set = { shortestMinutes: '30', longestMinutes: '120', changeoverMinutes: '15', fromOn: NEXT }
    expect((await chair.fill('/turns/settle/lengths', set)).path).toBe('/works')
    await published()
    const { inputs, results } = (await findPublishedWeek(valley.db, NEXT))!
    expect(checkWeek(inputs, results)).toEqual([])
    expect(Math.min(...results.turns.map(minutes))).toBeGreaterThanOrEqual(30)
    expect(Math.max(...results.turns.map(minutes))).toBeLessThanOrEqual(120)
    // The pump with one line leaves a quarter of an hour between its turns.
    const gaps = inputs.pumps
      .filter((pump) => pump.outletsAtOnce === 1)
      .flatMap((pump) => gapsOf(results.turns.filter((turn) => turn.pumpId === pump.id)))
    expect(gaps.length).toBeGreaterThan(0)
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(15)
    expect(await findPublishedWeek(valley.db, '2026-11-23')).toEqual(before)
    expect(Math.max(...before.results.turns.map(minutes))).toBeGreaterThan(120)
  })

  it('is judged: a turn outside the frozen lengths does not pass', async () => {
    const set = { shortestMinutes: '10', longestMinutes: '90', changeoverMinutes: '5', fromOn: VALLEY_TODAY }
    await chair.fill('/turns/settle/lengths', set)
    await published()
    const { inputs, results } = (await findPublishedWeek(valley.db, NEXT))!
    const shorter = {
      ...inputs,
      turnFacts: { ...inputs.turnFacts!, lengths: { minTurnMinutes: 10, maxTurnMinutes: 20, changeoverMinutes: 5 } },
    }
    expect(checkWeek(shorter, results).map(({ code }) => code)).toContain('turn-above-longest')
  })

  it('is asked for again when the longest is below the shortest, with what was typed', async () => {
    const set = { shortestMinutes: '60', longestMinutes: '59', changeoverMinutes: '5', fromOn: NEXT }
    const page = await chair.fill('/turns/settle/lengths', set)
    expect(page.status).toBe(422)
    expect(page.words).toContain('The longest turn is shorter than the shortest.')
    expect(page.html.querySelector('[name=longestMinutes]')!.getAttribute('value')).toBe('59')
    // All turns of one length.
    expect((await chair.send(page, { longestMinutes: '60' })).status).toBe(200)
  })
})

function gapsOf(turns: { on: string; startMinute: number; endMinute: number }[]): number[] {
  const sorted = [...turns].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : a.startMinute - b.startMinute))
  return sorted.flatMap((turn, at) => {
    const next = sorted[at + 1]
    return next && next.on === turn.on ? [next.startMinute - turn.endMinute] : []
  })
}
