import { beforeAll, describe, expect, it } from 'vitest'
import { addDays, datesFromTo } from '../../../domain/calendar.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { WeekOfPlot } from '../../../domain/rotation/outcome/made-good.ts'
import type { MissedVolume } from '../../../domain/rotation/outcome/missed.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { weeksOfPlots } from '../../../server/rotation/outcome/weeks-of-plots.ts'
import { publishWeek } from '../../../server/rotation/published/store.ts'
import { abstractionsBook, TODAY } from '../../abstractions/book.ts'
import { openValley } from '../../support/valley.ts'
import { ruleWeek } from '../rule/week.ts'

describe('what one plot missed', () => {
  let weeksWith: (missed: MissedVolume[]) => Promise<WeekOfPlot[]>
  let before: WeekOfPlot[]
  let own: WeekOfPlot

  beforeAll(async () => {
    const { db } = await openValley()
    const group = (await currentGroup(db))!
    weeksWith = (missed) => weeksOfPlots(db, answers.rotation, { group, fromOn: group.seasonStartOn, missed })
    before = await weeksWith([])
    // A week with at least two after it, and a plot that is due more than a cubic metre in it.
    const starts = [...new Set(before.map(({ weekStartOn }) => weekStartOn))].sort()
    own = before.find(({ weekStartOn, dueM3 }) => weekStartOn === starts.at(-3) && dueM3 > 1)!
  })

  /** The lines that are others than before, with what is other in them. */
  async function changedBy(cause: MissedVolume['cause'], excusedDays = 14, dayOfWeek = 2) {
    const turn = { plotId: own.plotId, on: addDays(own.weekStartOn, dayOfWeek), cause, volumeM3: 1, excusedDays }
    const after = await weeksWith([turn])
    expect(after).toHaveLength(before.length)
    return after.filter((line, at) => JSON.stringify(line) !== JSON.stringify(before[at]))
  }

  it('by a breakdown is not due to it in that week, and is nothing to anybody else', async () => {
    expect(await changedBy('breakdown')).toEqual([{ ...own, dueM3: expect.closeTo(own.dueM3 - 1, 6) }])
  })

  it('without a word is its own in that week', async () => {
    expect(await changedBy('no-show')).toEqual([{ ...own, missedM3: expect.closeTo(own.missedM3 + 1, 6) }])
  })

  it('with an excuse is made good in the weeks that begin after it and within its days, and by nobody else', async () => {
    for (const [days, weeks, dayOfWeek] of [
      [4, 0, 2],
      [5, 1, 2],
      [11, 1, 2],
      [12, 2, 2],
      [6, 0, 0],
      [7, 1, 0],
    ] as const) {
      const [missed, ...good] = await changedBy('excused', days, dayOfWeek)
      expect(missed).toMatchObject({ plotId: own.plotId, weekStartOn: own.weekStartOn, makesGood: false })
      const from = Array.from({ length: weeks }, (_, week) => addDays(own.weekStartOn, 7 * (week + 1)))
      expect(good.map(({ plotId, weekStartOn, makesGood }) => [plotId, weekStartOn, makesGood])).toEqual(
        from.map((on) => [own.plotId, on, true]),
      )
    }
  })
})

describe('what a plot is due in a week that was shared by one look at that week', () => {
  it('is what was asked for, at most what its need counts; all that counts where nothing was asked', async () => {
    const book = await abstractionsBook()
    const weekStartOn = '2026-06-08'
    const choice = { rule: 'proportional' as const, reason: 'tried', chosenBy: 'Ada', chosenAt: '' }
    const plots = { asks: { needM3: 8 }, silent: { needM3: 8 }, much: { needM3: 8 } }
    const inputs = { ...ruleWeek({ plots, choice }), weekStartOn, days: datesFromTo(weekStartOn, '2026-06-14') }
    const planned = planWeek(inputs)
    const asked: Record<string, number | null> = { asks: 3, silent: null, much: 11 }
    const shares = planned.shares.map((share) => ({ ...share, countedM3: 8, requestedM3: asked[share.plotId]! }))
    await book.writing((pen) => publishWeek(pen, inputs, { ...planned, shares, turns: [] }))
    const group = (await currentGroup(book.db))!
    const weeks = await weeksOfPlots(book.db, answers.rotation, { group, fromOn: addDays(TODAY, -3), missed: [] })
    expect(Object.fromEntries(weeks.map(({ plotId, dueM3 }) => [plotId, dueM3]))).toEqual({
      asks: 3,
      silent: 8,
      much: 8,
    })
  })
})
