import { describe, expect, it } from 'vitest'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue } from '../support/visitor.ts'
import { walk } from '../support/walk.ts'

/** No other entry of the valley was written in this minute. */
const NIGHT = '23:37'
const MARK = ` ▲ ${loadLocale('en').t('layout.clock-marked')}`

describe('what was written while the clock could not be right', () => {
  it('says so on every page that tells when it was written', async () => {
    const valley = await openValley()
    valley.setNow('2000-01-01T00:05:00Z')
    const [dovi, fanta] = [await valley.signIn('dovi'), await valley.signIn('fanta')]
    await dovi.fill('/people/settle/clock', { day: VALLEY_TODAY, hour: NIGHT })
    const level = await dovi.open('/water/levels/new')
    const read = { readOn: VALLEY_TODAY, readAt: '06:10', depth: '150' }
    await dovi.send(level, { ...read, weirId: optionValue(level, 'weirId', '1') })
    await dovi.fill('/crops/weather/new', { onDate: VALLEY_TODAY, rainMm: '0' })
    const fault = await dovi.open('/log/faults/new')
    await dovi.send(fault, { pumpId: optionValue(fault, 'pumpId', 'Heron'), onDate: VALLEY_TODAY, what: 'cable burnt' })
    const till = await fanta.open('/money/pay')
    const paid = { payerId: optionValue(till, 'payerId', 'Hila'), amount: '500', column: 'cash', paidOn: VALLEY_TODAY }
    await fanta.send(till, paid)
    valley.setNow('2026-11-26T06:00:00Z')
    const told: string[] = []
    const auditor = await valley.signIn('goro')
    expect((await auditor.open('/')).words).not.toContain('The clock of this machine')
    for (const { path, words } of await walk(auditor, { pagesOfAKind: 1 })) {
      for (const after of words.split(`25 Nov 2026, ${NIGHT}`).slice(1)) {
        told.push(path)
        expect([path, after.slice(0, MARK.length)]).toEqual([path, MARK])
      }
    }
    expect(new Set(told).size).toBeGreaterThan(3)
  })
})
