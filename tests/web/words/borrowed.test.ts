import { describe, expect, it } from 'vitest'
import { borrowed, inBorrowed, laidOutAs, withBorrowed } from '../../../server/web/words/borrowed.ts'

const ARABIC = { language: 'ar', dir: 'rtl' } as const
const ENGLISH = { language: 'en', dir: 'ltr' } as const
/** A day as the runtime writes it: the marks turn its order, so in an English sentence it needs a place of its own (UAX 9). */
const DAY = new Intl.DateTimeFormat('ar', { dateStyle: 'medium', timeZone: 'UTC' }).format(new Date('2026-11-23'))

describe('words that stand in English for want of others', () => {
  it('say so, and what they tell in the script of the reader stands apart from them', () => {
    const { day, count } = inBorrowed({ day: DAY, count: 3 })
    const sentence = borrowed(`From ${day} ${count} turns`)
    expect(withBorrowed(`<p>دور ${sentence}</p>`, ARABIC, ARABIC)).toBe(
      `<p>دور <span lang="en" dir="ltr">From <bdi lang="ar">${DAY}</bdi> 3 turns</span></p>`,
    )
    expect(inBorrowed({ name: 'Hila' })).toEqual({ name: 'Hila' })
  })

  it('keep to plain signs where only plain text may stand, and where the page cut them short', () => {
    for (const html of [`<option>${borrowed('one')}</option>`, `<p>${borrowed('one').slice(0, -1)}</p>`])
      expect(withBorrowed(html, ARABIC, ARABIC)).toBe(html)
  })

  it('lay the page out as they are where they are most of it', () => {
    const [much, few] = [borrowed('You ask for your own plot.'), borrowed('ask')]
    expect(laidOutAs(ARABIC, `<p>${much}</p><p>اطلب</p>`)).toEqual(ENGLISH)
    expect(laidOutAs(ARABIC, `<p title="a long title in English">اطلب ماء</p>${few}`)).toEqual(ARABIC)
    const currencies = '<option value="1">فرنك غرب أفريقي</option>'.repeat(9)
    expect(laidOutAs(ARABIC, `<p>${much}</p><select>${currencies}</select>`)).toEqual(ENGLISH)
    expect(laidOutAs({ language: 'sw', dir: 'ltr' }, `<p>${much}</p>`)).toEqual({ language: 'sw', dir: 'ltr' })
    expect(withBorrowed(`<p>${few}</p><p>اطلب</p>`, ARABIC, ENGLISH)).toBe(
      '<p><span lang="en" dir="ltr">ask</span></p><p><span lang="ar" dir="rtl">اطلب</span></p>',
    )
  })
})
