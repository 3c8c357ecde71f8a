import { describe, expect, it } from 'vitest'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const WEEK = '2026-11-23'

describe('turns that are over and that nobody wrote in', () => {
  it('are counted on the day and the week, with doors, until somebody settles them', async () => {
    const valley = await openValley()
    valley.setNow('2026-11-26T03:00:00Z')
    const dovi = await valley.signIn('dovi')
    const open = (await standingWeek(valley.db, WEEK))!.standing.filter((turn) => turn.on === VALLEY_TODAY)
    const day = await dovi.open(`/log/days/${VALLEY_TODAY}`)
    const said = /(\d+) turns are over and nobody wrote them in/.exec(day.words)!
    const count = Number(said[1])
    expect(count).toBeGreaterThan(2)
    expect(count).toBeLessThanOrEqual(open.length)
    expect(day.words).toContain('they count as drawn and received')
    const week = await dovi.open(`/turns/weeks/${WEEK}`)
    expect(week.words).toContain(`Wednesday 25 November: ${count} turns`)
    expect(week.html.querySelector(`.note a[href="/log/days/${VALLEY_TODAY}"]`)).not.toBeNull()
    expect(week.html.querySelector(`.note a[href="/log/days/${VALLEY_TODAY}"]`)).not.toBeNull()
    const action = day.html.querySelector('form[action$="/became"]')!.getAttribute('action')!
    const hidden = Object.fromEntries(
      day.html
        .querySelectorAll(`form[action="${action}"] input`)
        .map((input) => [input.getAttribute('name')!, input.getAttribute('value')!]),
    )
    await dovi.agent
      .post(action)
      .type('form')
      .send({ ...hidden, cause: 'no-show' })
    const settled = await dovi.open(`/log/days/${VALLEY_TODAY}`)
    expect(settled.words).toContain(`${count - 1} turns are over`)
  })

  it('are not named while they are still to come, and a member sees them without the log', async () => {
    const valley = await openValley()
    valley.setNow(`${VALLEY_TODAY}T01:00:00Z`)
    const hila = await valley.signIn('hila')
    expect((await hila.open(`/log/days/${VALLEY_TODAY}`)).words).not.toContain('nobody wrote')
    valley.setNow('2026-11-26T03:00:00Z')
    const page = await (await valley.signIn('hila')).open(`/turns/weeks/${WEEK}`)
    expect(page.words).toMatch(/turns? of this week (is|are) over and nobody wrote/)
    expect(page.html.querySelector('.note a[href^="/log?"]')).toBeNull()
  })
})
