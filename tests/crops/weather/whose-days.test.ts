import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const LIST = '/crops/weather/list'

let valley: Awaited<ReturnType<typeof openValley>>
let member: Visitor
beforeEach(async () => {
  valley = await openValley()
  member = await valley.signIn('hila')
})

const written = async () =>
  (
    await valley.db
      .selectFrom('weatherDay')
      .select(({ fn }) => fn.countAll<number>().as('count'))
      .execute()
  )[0]!.count
const days = async () =>
  valley.db
    .selectFrom('weatherDay')
    .select(['onDate', 'tmaxC', 'tminC', 'rainMm'])
    .orderBy('onDate', 'desc')
    .limit(5)
    .execute()
const listOf = (rows: (string | number | null)[][]) =>
  ['date,max,min,rain', ...rows.map((row) => row.map((cell) => cell ?? '').join(','))].join('\n')

describe('a day of weather that stands', () => {
  it('is not changed by a member’s list, which then writes nothing, and is by an officer’s', async () => {
    const before = await written()
    const [row, ...others] = (await days()).map(({ onDate, tmaxC, tminC, rainMm }) => [onDate, tmaxC, tminC, rainMm])
    const changed = [row![0]!, (row![1] as number) + 3, row![2]!, row![3]!]
    const pasted = listOf([changed, ...others])
    const refused = await member.fill(LIST, { pasted })
    expect([refused.status, refused.words]).toEqual([
      422,
      expect.stringContaining('is written already. Leave this row out'),
    ])
    expect(await written()).toBe(before)
    const dovi = await valley.signIn('dovi')
    expect((await dovi.fill(LIST, { pasted })).status).toBe(200)
    expect(await written()).toBe(Number(before) + 1)
  })

  it('may stand in a member’s list as it is, beside days that are new', async () => {
    valley.setNow(`${addDays(VALLEY_TODAY, 1)}T10:00:00Z`)
    member = await valley.signIn('hila')
    const before = await written()
    const rows = (await days()).map(({ onDate, tmaxC, tminC, rainMm }) => [onDate, tmaxC, tminC, rainMm])
    const pasted = listOf([[addDays(VALLEY_TODAY, 1), 31, 17, 0], ...rows])
    expect((await member.fill(LIST, { pasted })).status).toBe(200)
    expect(await written()).toBe(Number(before) + 1)
  })

  it('is not changed by a member on its form, but for rain that nobody had read', async () => {
    const on = addDays(VALLEY_TODAY, -2)
    const form = `/crops/weather/new?on=${on}`
    const before = await written()
    const refused = await member.fill(form, { tmaxC: '41', reason: 'it was hot' })
    expect([refused.status, refused.words]).toEqual([422, expect.stringContaining('tell the pump attendant')])
    const more = await member.fill(form, { sunHours: '1', reason: 'it was dull' })
    expect([more.status, await written()]).toEqual([422, before])
    expect((await member.open(`/crops/lines/weather/${on}`)).text).not.toContain(form)
    const chair = await valley.signIn('amaru')
    expect((await chair.open(`/crops/lines/weather/${on}`)).text).toContain(form)
    await chair.fill(form, { rainMm: '', reason: 'nobody had read it' })
    expect((await member.open(`/crops/lines/weather/${on}`)).text).toContain(form)
    expect((await member.fill(form, { rainMm: '4', reason: 'I read it' })).status).toBe(200)
  })

  it('is the same for rain in a gauge', async () => {
    const chair = await valley.signIn('amaru')
    const { path } = await chair.fill('/crops/weather/gauge', { number: '9', name: 'Upper' })
    const form = `/crops/weather/new/${path.split('/').at(-1)}`
    const rain = { onDate: addDays(VALLEY_TODAY, -1), rainMm: '3' }
    expect((await member.fill(form, rain)).status).toBe(200)
    const refused = await member.fill(form, { ...rain, rainMm: '40', reason: 'it was more' })
    expect([refused.status, refused.words]).toEqual([422, expect.stringContaining('is written already')])
    expect((await member.open(path)).text).not.toContain(`${form}?on=`)
    expect((await chair.fill(form, { ...rain, rainMm: '40', reason: 'it was more' })).status).toBe(200)
  })
})
