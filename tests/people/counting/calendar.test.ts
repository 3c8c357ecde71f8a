import { describe, expect, it } from 'vitest'
import { makeFormat, USUAL_COUNTS } from '../../../server/web/figures/format.ts'
import { openValley } from '../../support/valley.ts'

/**
 * One day by several calendars: Reingold, Dershowitz, *Calendrical Calculations*, appendix with sample data, the line of 12 November
 * 1945 (from memory). New year's days: 1 Meskerem 2017 on 11 September 2024; 1 Farvardin 1403 on 20 March 2024; 1 Chaitra 1946 on
 * 21 March 2024, as in every leap year (Calendar Reform Committee, India, 1955); 1 Muharram 1446 on 7 July 2024 by Umm al-Qura. All from memory.
 */
const PUBLISHED = [
  ['1945-11-12', 'ethiopic', '3 Hedar'],
  ['1945-11-12', 'coptic', '3 Hator'],
  ['1945-11-12', 'persian', '21 Aban'],
  ['1945-11-12', 'islamic-civil', '6 Dhuʻl-Hijjah'],
  ['2024-09-11', 'ethiopic', '1 Meskerem'],
  ['2024-03-20', 'persian', '1 Farvardin'],
  ['2024-03-21', 'indian', '1 Chaitra'],
  ['2024-07-07', 'islamic-umalqura', '1 Muharram'],
] as const

describe('the day of another calendar', () => {
  it.each(PUBLISHED)('%s by %s is %s', (date, calendar, day) => {
    expect(makeFormat('en', 'UTC', { ...USUAL_COUNTS, calendar }).otherDay(date)).toBe(day)
  })

  it('takes the digits of the language', () => {
    const format = makeFormat('fa', 'UTC', { ...USUAL_COUNTS, calendar: 'persian' })
    expect(format.otherDay('2024-03-20')).toContain('۱')
  })

  it('is settled by the committee, with names of months, and then stands on the page of a day and on the board', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    expect((await chair.open('/log/days/2026-11-26')).words).not.toContain('Hedar')
    await chair.fill('/people/settle/calendar', { calendar: 'ethiopic', m11: 'month of seedlings' })
    const day = await chair.open('/log/days/2026-11-26')
    expect(day.words).toContain('Thursday 26 November (17 Hedar, month of seedlings)')
    const sheet = await chair.open('/turns/weeks/2026-11-23/sheet')
    expect(sheet.text).toContain('Thu 26 · 17 Hedar')
    // A month with a long name stands under our day, where it would else be too small for a wall.
    await chair.fill('/people/settle/calendar', { calendar: 'islamic-umalqura' })
    const [leaf] = (await chair.open('/turns/weeks/2026-11-23/sheet')).html.querySelectorAll('.board-leaf')
    const heads = leaf!.querySelectorAll('text').filter(({ text }) => /^(Thu 26|16 Jumada II)$/.test(text.trim()))
    expect(heads.map(({ text }) => text.trim())).toEqual(['Thu 26', '16 Jumada II'])
    // In millimetres of the sheet.
    expect(heads.every((head) => Number(head.getAttribute('font-size')) >= 3)).toBe(true)
  })
})
