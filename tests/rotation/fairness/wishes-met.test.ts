import { describe, expect, it } from 'vitest'
import { wishesMet } from '../../../domain/rotation/fairness/wishes-met.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const [MONDAY, TUESDAY] = ['2026-06-08', '2026-06-09']
const turn = (plotId: string, on: string, from: number, to: number) => {
  return { plotId, on, startMinute: from * 60, endMinute: to * 60 }
}

describe('a wish', () => {
  it('is met when a whole turn lies in the wished hours of a wished day', () => {
    const wishes = [
      { plotId: 'a', weekday: 1, fromHour: 8, toHour: 12 },
      { plotId: 'b', weekday: null, fromHour: 8, toHour: 12 },
      { plotId: 'c', weekday: 2, fromHour: 0, toHour: 24 },
      { plotId: 'd', weekday: null, fromHour: 8, toHour: 12 },
      { plotId: 'e', weekday: null, fromHour: 0, toHour: 24 },
    ]
    const turns = [
      turn('a', MONDAY, 8, 10), // met, from the first minute
      turn('b', TUESDAY, 11, 12.25), // a quarter of an hour too long
      turn('b', TUESDAY, 9, 10), // but another one lies inside: met
      turn('c', MONDAY, 9, 10), // another day: not met
      turn('d', TUESDAY, 7.5, 9), // begins too early: not met
    ]
    // e had no turn, so its wish is not counted.
    expect(wishesMet({ wishes, turns })).toEqual({ wished: 4, met: 2 })
    expect(wishesMet({ wishes: [], turns })).toEqual({ wished: 0, met: 0 })
  })

  it('is counted on the page of fairness once the week is over', async () => {
    const valley = await openValley()
    const hila = await valley.signIn('hila')
    const form = await hila.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila')
    await hila.send(form, { plotId, weekStartOn: '2026-11-30', wishedFrom: '00:00', wishedTo: '23:00' })
    const chair = await valley.signIn('amaru')
    expect((await chair.open('/turns/fair')).words).toContain('Wished hours')
    await chair.send(await chair.open('/turns/weeks/2026-11-30/publish'), {}, '/turns/weeks/2026-11-30/publish')
    valley.setNow('2026-12-08T08:00:00Z')
    const page = await (await valley.signIn('amaru')).open('/turns/fair')
    expect(page.words).toMatch(/had wished for an hour/)
    expect(page.words).not.toContain('Nobody who had a turn in these weeks')
  })
})
