import { beforeAll, describe, expect, it } from 'vitest'
import { listPlots, receivedBefore } from '../../../server/people/plot/store.ts'
import { tankUsesOn } from '../../../server/rotation/tank-turn/store.ts'
import { coverTermsOn } from '../../../server/water/cover/store.ts'
import { listTanks, tankDays } from '../../../server/works/tank/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'

// Worked by hand: a blue drum is filled with a can of known litres and holds 200.
const NEXT_WEEK = '2026-11-30'
let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let attendant: Visitor
let plotId: string
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  attendant = await valley.signIn('dovi')
  plotId = optionValue(await (await valley.signIn('hila')).open('/turns/ask'), 'plotId', 'Hila')
  await chair.fill('/people/settle/measure', { kind: 'drum', name: 'blue drum', size: '200' })
})

const TYPED = (count: string, low: string, high: string) =>
  `Typed: ${count} × blue drum of 200 litres, that is ${low} to ${high} m³.`
const taken = (page: Seen) => {
  const sure = page.html.querySelector('input[name="_sure"]')!.getAttribute('value')!
  return chair.send(page, { _sure: sure })
}

describe('a volume in the group’s own vessels', () => {
  it('is what a plot had received before the book, and what is rare is asked about in m³', async () => {
    const write = (fields: Record<string, string>) =>
      chair.fill('/people/settle/received-before', { plotId, untilOn: '2026-03-01', ...fields })
    const page = await write({ volume: '300', volumeIn: 'blue drum' })
    // 300 x 200 litres.
    expect((await receivedBefore(valley.db)).get(plotId)?.volumeM3).toBe(60)
    expect(page.words).toContain(TYPED('300', '54', '66'))
    // 400 000 drums are 80 000 m3, more than a season's usual 50 000; 60 000 cans are 1200 m3 and nothing rare.
    const rare = await write({ volume: '400000', volumeIn: 'blue drum' })
    expect([rare.status, rare.words.includes('80,000 is more than 50,000')]).toEqual([422, true])
    expect((await taken(rare)).words).toContain('80,000 m³ up to')
    expect((await write({ volume: '60000', volumeIn: 'jerrycans' })).words).toContain('1,200 m³ up to')
    expect((await write({ volume: '3', volumeIn: 'red drum' })).words).toContain('Choose one')
    expect((await write({ volume: '9000000', volumeIn: 'blue drum' })).words).toContain('At most 1,000,000 m³')
  })

  it('is the weekly plan of a weir', async () => {
    const list = await chair.open('/water/lasts')
    const link = list.html.querySelector('a[href^="/water/working/lasts/"]')!.getAttribute('href')!
    const settle = link.replace('working/lasts', 'settle/plan')
    const page = await chair.fill(settle, { weeklyPlan: '150', weeklyPlanIn: 'blue drum' })
    const term = (await coverTermsOn(valley.db, VALLEY_TODAY)).get(link.split('/').at(-1)!)
    expect(term?.weeklyPlanM3).toBe(30)
    expect(page.words).toContain(`Set by the group. ${TYPED('150', '27', '33')}`)
    // Left empty it is worked out from the book, whatever it would have been counted in.
    await chair.fill(settle, { weeklyPlan: '', weeklyPlanIn: 'blue drum' })
    expect((await coverTermsOn(valley.db, VALLEY_TODAY)).get(term!.weirId)?.weeklyPlanM3).toBeNull()
  })
})

describe('so much water that it is seldom', () => {
  // A turn mostly has at most 1,000 m3. 60,000 litres are 60 m3, 60,000 cans 1,200.
  it.each(['/turns/ask?as=free', `/turns/weeks/${NEXT_WEEK}/change?as=add`])(
    'is asked about in m³ at %s, and litres are not taken for m³',
    async (address) => {
      const form = await chair.open(address)
      const plot = optionValue(form, 'plotId', '7')
      const outletId = (await listPlots(valley.db, VALLEY_TODAY)).find(({ id }) => id === plot)!.outletIds[0]!
      const day = address.includes('free') ? VALLEY_TODAY : NEXT_WEEK
      const typed = { plotId: plot, weekStartOn: NEXT_WEEK, outletId, onDate: day, start: '12:00', reason: 'More.' }
      const there = Object.entries(typed).filter(([name]) => form.html.querySelector(`[name="${name}"]`))
      const write = async (volume: string, volumeIn: string) =>
        chair.send(await chair.open(address), { ...Object.fromEntries(there), volume, volumeIn })
      const rare = await write('60000', 'jerrycans')
      expect([rare.status, rare.html.querySelector('#volume-error')?.text]).toEqual([
        422,
        expect.stringContaining('1,200'),
      ])
      const asks = (page: Seen) => page.words.includes('1,200 is more than')
      expect([asks(rare), asks(await taken(rare)), asks(await write('60000', 'litres'))]).toEqual([true, false, false])
      const beyond = await write('60000', '')
      expect(beyond.html.querySelector('#volume-error')?.text).toContain('10,000')
    },
  )
})

describe('a tank in the group’s own vessels', () => {
  it('is as large as what it holds over its height, and litres without their name are asked for it', async () => {
    const form = await chair.open('/works/tanks/new')
    const pumpId = optionValue(form, 'pumpId', 'Heron')
    const write = (fields: Record<string, string>) =>
      chair.send(form, { number: '7', name: 'Hill', pumpId, height: '1.5', area: '', ...fields })
    for (const [field, wrong] of [
      ['area', {}],
      ['holds', { area: '4', holds: '30', holdsIn: 'blue drum' }],
      ['holdsIn', { holds: '5000' }],
      ['holds', { holds: '1', holdsIn: 'litres' }],
    ] as const) {
      const page = await write(wrong)
      expect([page.status, page.html.querySelector(`#${field}-error`) !== null]).toEqual([422, true])
    }
    // 5000 m3 over 1.5 m would be a pond of 3333 m2.
    const rare = await write({ holds: '5000', holdsIn: 'm3' })
    expect([rare.status, rare.words.includes('Then its floor would be 3,333')]).toEqual([422, true])
    expect(await listTanks(valley.db)).toHaveLength(1)
    await write({ holds: '30', holdsIn: 'blue drum' })
    // 30 x 200 litres are 6 m3; over 1.5 m that is a floor of 4 m2.
    expect((await listTanks(valley.db)).find(({ name }) => name === 'Hill')?.areaM2).toBe(4)
    expect((await chair.open('/works?as=tanks')).words).toContain(TYPED('30', '5.4', '6.6'))
  })

  it('keeps so many of them', async () => {
    const form = await chair.open('/works/settle/tank-use')
    const tankId = optionValue(form, 'tankId', 'Hill')
    const keep = (kept: string) => chair.send(form, { tankId, kept, keptIn: 'blue drum', fromOn: VALLEY_TODAY })
    expect((await keep('40')).html.querySelector('#kept-error')?.text).toContain('holds 6 m³')
    const page = await keep('5')
    expect((await tankUsesOn(valley.db, VALLEY_TODAY)).get(tankId)?.keptM3).toBe(1)
    expect(page.words).toContain(TYPED('5', '0.9', '1.1'))
  })

  it('is filled and let out by them on its sheet, on the screen and on paper', async () => {
    const form = await attendant.open('/log/round?as=tank-day')
    const tankId = optionValue(form, 'tankId', 'Hill')
    const day = { onDate: VALLEY_TODAY, tankId, plotId }
    const page = await attendant.send(form, {
      ...day,
      filled: '10',
      filledIn: 'blue drum',
      letOut: '4',
      letOutIn: 'blue drum',
    })
    expect(page.path).toBe('/log/lines/tank-day')
    expect(page.words).toContain(TYPED('10', '1.8', '2.2'))
    const span = { fromOn: VALLEY_TODAY, toOn: VALLEY_TODAY }
    expect((await tankDays(valley.db, span)).map(({ filledM3 }) => filledM3)).toContain(2)
    const drawn = () =>
      valley.db
        .selectFrom('abstraction')
        .innerJoin('typedVolume', 'typedVolume.entryId', 'abstraction.entryId')
        .select(['volumeM3', 'figure', 'unit'])
        .execute()
    // 4 x 200 litres.
    expect(await drawn()).toEqual([{ volumeM3: 0.8, figure: 4, unit: 'blue drum' }])
    const wrong = await attendant.fill('/log/round?as=tank-day', { ...day, letOut: '4', letOutIn: 'red drum' })
    expect(wrong.html.querySelector('#letOutIn-error')).not.toBeNull()
    const blank = await attendant.open('/paper/tanks')
    expect(blank.words).toContain('blue drum of 200 litres')
    const pasted = `Day;Tank;Let out to plot;Let out, m³;Let out is counted in\n${VALLEY_TODAY};7;${plotNumber(form)};3;blue\n`
    await attendant.fill('/paper/tanks/type', { pageNo: '1', pasted })
    expect((await drawn()).map(({ volumeM3 }) => volumeM3).toSorted()).toEqual([0.6, 0.8])
  })
})

function plotNumber(form: Seen): string {
  return form.html.querySelector(`select[name=plotId] option[value="${plotId}"]`)!.text.trim().split(' ')[0]!
}
