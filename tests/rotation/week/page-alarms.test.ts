import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const WEEK = '2026-11-23'
const PAGES = ['/', `/turns/weeks/${WEEK}`, `/turns/weeks/${WEEK}/sheet`]

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

/** What stands above everything else on a page. */
async function alarmsOn(visitor: Visitor, path: string): Promise<string> {
  const page = await visitor.open(path)
  const first = page.html.querySelector('main h2')
  return first?.text === 'Before anything else' ? (first.parentNode?.text ?? '') : ''
}

/** The second one is of somebody else, who bears the first one out. */
async function readLevel(weir: string, readAt: string, depth: string, by = 'dovi'): Promise<void> {
  const reader = await valley.signIn(by)
  const form = await reader.open('/water/levels/new')
  const weirId = optionValue(form, 'weirId', weir)
  expect((await reader.send(form, { weirId, readOn: VALLEY_TODAY, readAt, depth })).status).toBe(200)
}

describe('what alarms', () => {
  it('is nothing while all is well', async () => {
    const hila = await valley.signIn('hila')
    for (const path of PAGES) expect(await alarmsOn(hila, path), path).toBe('')
  })

  it('is a weir with nothing to drink, for everybody and above all else', async () => {
    await readLevel('2', '05:40', '900')
    await readLevel('2', '06:20', '900', 'besi')
    for (const name of ['hila', 'amaru', 'isko']) {
      const visitor = await valley.signIn(name)
      for (const path of PAGES)
        expect(await alarmsOn(visitor, path), path).toMatch(/Weir 2 .* has nothing left to drink/)
    }
  })

  it('stands on the page of a week to its last day, and no more on one that is over', async () => {
    await readLevel('2', '05:40', '900')
    await readLevel('2', '06:20', '900', 'besi')
    const told: boolean[] = []
    for (const day of ['2026-11-29', '2026-11-30']) {
      valley.setNow(`${day}T05:00:00Z`)
      told.push((await alarmsOn(await valley.signIn('hila'), `/turns/weeks/${WEEK}`)) !== '')
    }
    expect(told).toEqual([true, false])
  })

  it('is a stopped pump whose tank people drink from, until it runs again', async () => {
    const amaru = await valley.signIn('amaru')
    const tank = await amaru.open('/works/tanks/new')
    const pumpId = optionValue(tank, 'pumpId', 'Heron')
    await amaru.send(tank, { number: '71', name: 'School', pumpId, area: '4', height: '2' })
    const use = await amaru.open('/works/settle/tank-use')
    const tankId = optionValue(use, 'tankId', '71 School')
    await amaru.send(use, { tankId, kept: '2', servesStand: 'yes', fromOn: VALLEY_TODAY })
    expect(await alarmsOn(amaru, '/')).toBe('')
    const fault = await amaru.open('/log/faults/new')
    await amaru.send(fault, { pumpId, onDate: VALLEY_TODAY, what: 'cable burnt', stopsPump: 'yes' })
    for (const path of PAGES) expect(await alarmsOn(amaru, path), path).toContain('people drink from this tank')
    expect(await alarmsOn(amaru, '/')).toContain('its level was not read')
    // 4 m2 x 2 m are 8 m3, and more than that is drunk at the weir in a week: so many whole days, then by hand.
    const level = await amaru.open('/log/round?as=tank')
    await amaru.send(level, { tankId, moment: 'dawn', level: '200', atTime: '06:00' })
    for (const name of ['amaru', 'dovi']) {
      const visitor = await valley.signIn(name)
      for (const path of ['/', `/log/days/${VALLEY_TODAY}`]) {
        const { words, html } = await visitor.open(path)
        // What each kind of user drinks, in whole jerrycans of 20 litres; a goat drinks 5 litres or so, and 15 people 300.
        const users = html.querySelectorAll('main caption').filter((one) => one.text.includes('drawn by hand'))
        for (const row of users.flatMap((one) => one.closest('table')!.querySelectorAll('tbody tr'))) {
          const [heads, litres, cans] = row.querySelectorAll('td').map((cell) => Number(cell.text.replaceAll(',', '')))
          expect(cans, row.text).toBe(Math.ceil((heads! * litres!) / 20))
        }
        expect(users.length > 0, path).toBe(path.startsWith('/log'))
        const [, daily, cans] = /at ([\d.]+) m³ a day.* Then ([\d,]+) jerrycans/.exec(words)!
        expect(Number(cans!.replace(',', '')), path).toBeCloseTo(Number(daily) * 50, -1)
        const days = Math.floor(8 / Number(daily))
        const until = addDays(VALLEY_TODAY, days - 1)
        expect(words, path).toContain(`last them until ${until.slice(8).replace(/^0/, '')} `)
      }
    }
  })

  it('tells how long a tank carries people: all that stands in it, or what is below its mark where turns run out of it', async () => {
    const monday = '2026-11-30'
    valley.setNow(`${monday}T07:00:00Z`)
    const amaru = await valley.signIn('amaru')
    const read = async (tank: string, level: string, atTime: string) => {
      const form = await amaru.open('/log/round?as=tank')
      await amaru.send(form, { tankId: optionValue(form, 'tankId', tank), moment: 'dawn', level, atTime })
    }
    const stop = async (pump: string) => {
      const form = await amaru.open('/log/faults/new')
      const pumpId = optionValue(form, 'pumpId', pump)
      await amaru.send(form, { pumpId, onDate: monday, what: 'cable burnt', stopsPump: 'yes' })
    }
    const told = async () => (await amaru.open(`/log/days/${monday}`)).words
    // No turn runs out of the school's tank: 4 m2 x 2 m. At weir 1, 54 people and 40 goats drink 1.28 m3 a day: six days.
    const tank = await amaru.open('/works/tanks/new')
    await amaru.send(tank, {
      ...{ number: '71', name: 'School', pumpId: optionValue(tank, 'pumpId', 'Heron'), area: '4', height: '2' },
    })
    const use = await amaru.open('/works/settle/tank-use')
    await amaru.send(use, { tankId: optionValue(use, 'tankId', '71 School'), kept: '2', servesStand: 'yes' })
    await read('71 School', '200', '06:00')
    await stop('Heron')
    expect(await told()).toContain('Its 8.0 m³ of 30 Nov 2026 last them until 5 Dec 2026, at 1.3 m³ a day')
    // Two outlets hang on the tank of 6 m2 at the crossing, down to 4 m3; 61 people and 9 donkeys drink 1.328 m3 a day.
    await stop('Crossing')
    for (const [level, atTime, words] of [
      ['100', '06:00', 'The 4.0 m³ that stay below its mark last them until 2 Dec 2026, at 1.3 m³ a day'],
      ['50', '06:10', 'The 3.0 m³ that stay below its mark last them until 1 Dec 2026'],
      ['23', '06:20', 'The 1.4 m³ that stay below its mark last them until 30 Nov 2026'],
      ['20', '06:30', 'By its level of 30 Nov 2026, 1.2 m³ at 1.3 m³ a day, it carries them no whole day more'],
    ] as const) {
      await read('1 Crossing', level, atTime)
      expect(await told()).toContain(words)
    }
  })
})
