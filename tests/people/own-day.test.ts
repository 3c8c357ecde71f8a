import { describe, expect, it } from 'vitest'
import { OWN_GROUP, openBook } from '../support/book.ts'

const BELA = {
  number: '2',
  name: 'Bela',
  roles: ['committee', 'member'],
  signInName: 'bela',
  password: 'another long word',
}

describe.each([
  { timeZone: 'America/Los_Angeles', evening: '2026-06-05T01:00:00Z', morning: '2026-06-05T08:00:00Z' },
  { timeZone: 'Asia/Kolkata', evening: '2026-06-04T18:00:00Z', morning: '2026-06-04T19:00:00Z' },
])('the day of a group in $timeZone', ({ timeZone, evening, morning }) => {
  it('decides from when a change of roles holds, whatever day it is in Greenwich', async () => {
    const book = await openBook('2026-06-04T12:00:00Z')
    const ada = book.visitor()
    await ada.fill('/start', { ...OWN_GROUP, timeZone })
    await ada.fill('/people/new', BELA)
    const bela = book.visitor()
    const id = (await ada.open('/people')).html
      .querySelectorAll('a[href^="/people/"]')
      .find((link) => link.text.includes('Bela'))!
      .getAttribute('href')!
    await ada.fill(`${id}/change`, { roles: ['member'], fromOn: '2026-06-05' })
    book.setNow(evening)
    await bela.fill('/sign-in', { signInName: 'bela', password: BELA.password })
    expect((await bela.open('/people/new')).status).toBe(200)
    book.setNow(morning)
    expect((await bela.open('/people/new')).status).toBe(403)
  })
})
