import { expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { CLAIM_CODE, openBook } from '../support/book.ts'
import { firstWeek } from './newcomer.ts'

it('leads a newcomer from an empty book to a printed week in at most twenty-five sendings', async () => {
  const today = '2026-06-04'
  const book = await openBook(`${today}T05:00:00Z`)
  const { sheet, home, sendings } = await firstWeek(book.visitor(), book.visitor(), {
    code: CLAIM_CODE,
    today,
    seasonStart: '2026-05-18',
    seasonEnd: '2026-10-31',
    readAt: '06:00',
    lateRain: '2026-11-15',
    sownOn: '2026-05-20',
    weatherDays: Array.from({ length: 14 }, (_, at) => addDays(today, at - 14)),
  })
  expect(sendings).toBeLessThanOrEqual(25)
  for (const name of ['Ada', 'Bela', 'Chidi', 'Dina', 'Eshe']) expect(sheet.words).toContain(name)
  // Done steps stay doors, or the list goes once all of them are done.
  const left = home.html.querySelectorAll('ol.steps li').filter((step) => !step.text.includes('done'))
  expect(left.map((step) => step.text.trim())).toEqual([])
  expect((await verifyBook(book.db)).brokenAt).toBeNull()
})
