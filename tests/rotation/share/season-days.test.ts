import { describe, expect, it } from 'vitest'
import { addDays, weekdayOf } from '../../../domain/calendar.ts'
import { countedFrom, countsForSeason } from '../../../domain/rotation/share/season-days.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { publishedStarts } from '../../../server/rotation/published/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

// A season that begins on Wednesday 10 June 2026; weeks begin on Mondays.
const seasonStartOn = '2026-06-10'
const rhythm = { firstWeekday: 1, marketWeeks: [] } as const

describe('the days of a season', () => {
  it('begin with the week that was running, so that what was due and what came cover the same days', () => {
    const weekStarts = ['2026-06-15', '2026-06-08', '2026-06-01']
    expect(countedFrom({ ...rhythm, seasonStartOn, weekStarts })).toBe('2026-06-08')
  })

  it('begin with the season where no week was running, or where one begins on its first day', () => {
    expect(countedFrom({ ...rhythm, seasonStartOn, weekStarts: ['2026-06-01', '2026-06-15'] })).toBe(seasonStartOn)
    expect(countedFrom({ ...rhythm, seasonStartOn: '2026-06-08', weekStarts: ['2026-06-01', '2026-06-08'] })).toBe(
      '2026-06-08',
    )
  })

  it('leave out the week that ended the day before', () => {
    const counts = (weekStartOn: string) =>
      countsForSeason({ ...rhythm, firstWeekday: weekdayOf(weekStartOn), seasonStartOn: '2026-06-08', weekStartOn })
    expect(['2026-06-01', '2026-06-02', '2026-06-08'].map(counts)).toEqual([false, true, true])
  })
})

describe('a week that was running when the season began', () => {
  it('counts with all that was due in it and all that it brought', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    const second = await valley.signIn('besi')
    const start = (await publishedStarts(valley.db))[1]!
    const inputsFrom = async (seasonStart: string) => {
      const page = await chair.fill('/works/group', { seasonStart })
      // The season begins on another day only with a second officer's name.
      const { path } = page
      expect((await second.send(await second.open(path), {}, `/book/names/${path.split('/').at(-1)}`)).status).toBe(200)
      const group = (await currentGroup(valley.db))!
      expect(group.seasonStartOn).toBe(seasonStart)
      return (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: '2026-11-30', today: VALLEY_TODAY }))!
        .inputs
    }
    const whole = await inputsFrom(start)
    const within = await inputsFrom(addDays(start, 3))
    const later = await inputsFrom(addDays(start, 7))
    const sum = (volumes: Record<string, number>) => Object.values(volumes).reduce((total, each) => total + each, 0)
    const ofWeek = (inputs: typeof whole) => inputs.pastWeeks.filter((week) => week.weekStartOn === start)
    expect(ofWeek(within)).toEqual(ofWeek(whole))
    expect(ofWeek(later)).toEqual([])
    expect(within.receivedM3).toEqual(whole.receivedM3)
    expect(sum(later.receivedM3)).toBeLessThan(sum(within.receivedM3))
  })
})
