import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})

const plain = (text: string) => text.replace(/\s+/g, ' ')

describe('the page of one pump', () => {
  it('says its meter as it was last read, of its own and no other pump', async () => {
    const { db } = valley
    const hila = await valley.signIn('hila')
    const pumps = await db.selectFrom('pump').select(['entryId', 'number']).orderBy('number').execute()
    expect(pumps.length).toBeGreaterThan(1)
    for (const { entryId, number } of pumps) {
      const { words } = await hila.open(`/works/pumps/${entryId}`)
      const rows = await db.selectFrom('pumpDayReading').selectAll().where('pumpId', '=', entryId).execute()
      const at = ({ onDate, moment }: (typeof rows)[number]) => `${onDate} ${moment === 'dusk' ? 1 : 0}`
      const last = rows.sort((a, b) => (at(a) < at(b) ? -1 : 1)).at(-1)!
      const shown = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 3 }).format(last.meterM3!)
      expect(words).toContain(`Pump ${number},`)
      expect(words).toContain(
        `${shown} m³, Tuesday 24 November, ${last.moment === 'dusk' ? 'after the last' : 'before the first'} turn`,
      )
    }
  })

  it('lists its own outlets, each with what it gave at its last test, and leads to each', async () => {
    const { db } = valley
    const pump = await db.selectFrom('pump').select('entryId').where('number', '=', 3).executeTakeFirstOrThrow()
    const own = await db.selectFrom('outlet').select(['entryId', 'number']).where('pumpId', '=', pump.entryId).execute()
    const hila = await valley.signIn('hila')
    const page = await hila.open(`/works/pumps/${pump.entryId}`)
    const lines = page.html.querySelectorAll('main .list a')
    expect(lines.map((line) => line.getAttribute('href')).sort()).toEqual(
      own.map(({ entryId }) => `/works/outlets/${entryId}`).sort(),
    )
    const fallen = lines.find((line) => line.querySelector('.at')!.text === '23')!
    expect(plain(fallen.text)).toContain('tested 24 Nov 2026')
    const outlet = await hila.open(fallen.getAttribute('href')!)
    expect(plain(fallen.text)).toContain(`${/Gives ([\d.]+)/.exec(outlet.words)![1]!.slice(0, 3)} m³ an hour`)
    expect(outlet.html.querySelector(`a[href="/works/pumps/${pump.entryId}"]`)).not.toBeNull()
  })

  it('tells the next service where one was written, and says where none was', async () => {
    const { db } = valley
    const hila = await valley.signIn('hila')
    const pumps = await db.selectFrom('pump').select(['entryId', 'number']).execute()
    const pageOf = (number: number) => hila.open(`/works/pumps/${pumps.find((one) => one.number === number)!.entryId}`)
    expect((await pageOf(2)).words).toMatch(/hour meter was not read since, so nobody can say.*due after 500 hours/)
    expect((await pageOf(1)).words).not.toContain('hours to the next service')
  })

  it('shows its forms to whoever writes at the pump alone, and is not there for what is no pump', async () => {
    const { entryId } = await valley.db.selectFrom('pump').select('entryId').executeTakeFirstOrThrow()
    const forms = async (name: string) =>
      (await (await valley.signIn(name)).open(`/works/pumps/${entryId}`)).html.querySelectorAll(
        'a[href^="/works/settle/"], a[href="/log/meter"]',
      ).length
    expect(await forms('dovi')).toBe(3)
    expect(await forms('hila')).toBe(0)
    expect((await (await valley.signIn('hila')).open('/works/pumps/nothing')).status).toBe(404)
  })
})
