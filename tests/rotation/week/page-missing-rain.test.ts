import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { namedBasis, openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

const shared = async (visitor: Visitor) =>
  (await visitor.open(`/turns/weeks/${NEXT}`)).html
    .querySelectorAll('table')
    .find((table) => table.querySelector('caption')!.text.includes('Each plot with a right to water'))!
    .querySelectorAll('tbody tr')
    .map((row) => row.text.trim())

async function forgetRain(visitor: Visitor, day: string): Promise<void> {
  const form = await visitor.fill(`/crops/weather/new?on=${day}`, { rainMm: '', reason: 'nobody read the gauge' })
  expect(form.status).toBe(200)
}

describe('a draft over a weather book with holes', () => {
  it.each([1, 2, 4, 7])(
    'goes on when the rain of one day, %i days ago, is not written, and names the day',
    async (ago) => {
      const valley = await openValley()
      const chair = await valley.signIn('amaru')
      const before = await shared(chair)
      const day = addDays(VALLEY_TODAY, -ago)
      await forgetRain(chair, day)
      const draft = await chair.open(`/turns/weeks/${NEXT}`)
      expect(await shared(chair)).toHaveLength(before.length)
      expect(draft.words).toContain('No rain is written for one day')
      const door = draft.html.querySelector(`a[href="/crops/weather/new?on=${day}"]`)
      expect(door).not.toBeNull()
      await chair.fill(door!.getAttribute('href')!, { rainMm: '0', reason: 'it was dry' })
      expect((await chair.open(`/turns/weeks/${NEXT}`)).words).not.toContain('No rain is written')
    },
  )

  it('takes what was given last week where most of the week is not written, and says so', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    const before = await shared(chair)
    for (let ago = 1; ago <= 5; ago++) await forgetRain(chair, addDays(VALLEY_TODAY, -ago))
    const draft = await chair.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain('so the draft takes what was given last week')
    const rows = await shared(chair)
    expect(rows.length).toBeGreaterThan(0.8 * before.length)
    for (const row of rows) expect(row).toContain('as last week')
    expect(draft.words).toContain('to work it out. Write in the weather that was')
    // Once it is agreed, no weather that is written in changes it any more.
    await namedBasis(valley, NEXT)
    const publish = `/turns/weeks/${NEXT}/publish`
    await chair.send(await chair.open(publish), {}, publish)
    const agreed = await chair.open(`/turns/weeks/${NEXT}`)
    expect(agreed.words).toContain('so the week gives what was given the week before')
    expect(agreed.words).not.toMatch(/so the draft takes|Write in the weather that was/)
  })

  it('tells of an agreed week which days it did not know, and offers no door that would change nothing', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    await forgetRain(chair, addDays(VALLEY_TODAY, -2))
    await namedBasis(valley, NEXT)
    const publish = `/turns/weeks/${NEXT}/publish`
    await chair.send(await chair.open(publish), {}, publish)
    const agreed = await chair.open(`/turns/weeks/${NEXT}`)
    expect(agreed.words).toContain('No rain was written for one day when this week was agreed')
    expect(agreed.html.querySelector('a[href^="/crops/weather/new"]')).toBeNull()
  })
})
