import { expect, it } from 'vitest'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

it('offers for a swap the turns that nobody could be too late for: of today those that have not ended by this minute, and all later ones', async () => {
  const valley = await openValley()
  const turns = (await standingWeek(valley.db, '2026-11-23'))!.standing
  const own = turns.find(({ on }) => on > VALLEY_TODAY)!
  const today = turns.filter(({ on, plotId }) => on === VALLEY_TODAY && plotId !== own.plotId)
  const ends = today.map(({ endMinute }) => endMinute).sort((a, b) => a - b)
  const noonish = ends[Math.floor(ends.length / 2)]!
  valley.setNow(new Date(Date.parse(`${VALLEY_TODAY}T00:00:00Z`) + noonish * 60_000).toISOString())
  const page = await (await valley.signIn('amaru')).open(`/turns/${own.bookId}/otherwise?as=swap`)
  const offered = page.html
    .querySelectorAll('[name="otherTurnId"]')
    .flatMap((box) =>
      box.tagName === 'SELECT'
        ? box.querySelectorAll('option').map((one) => one.getAttribute('value'))
        : [box.getAttribute('value')],
    )
  const over = turns.filter(({ on, endMinute }) => on < VALLEY_TODAY || (on === VALLEY_TODAY && endMinute <= noonish))
  const open = turns.filter(
    ({ on, endMinute, plotId }) =>
      plotId !== own.plotId && (on > VALLEY_TODAY || (on === VALLEY_TODAY && endMinute > noonish)),
  )
  expect(over.some(({ on }) => on === VALLEY_TODAY)).toBe(true)
  expect(open.some(({ on }) => on === VALLEY_TODAY)).toBe(true)
  expect(over.filter(({ bookId }) => offered.includes(bookId))).toEqual([])
  expect(open.filter(({ bookId }) => !offered.includes(bookId))).toEqual([])
})
