import { beforeAll, describe, expect, it } from 'vitest'
import { broughtInHoursM3 } from '../../domain/works/bucket.ts'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { flowsByOutlet } from '../../server/works/flow-test/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

const START_MINUTES = 30
const clock = (minute: number) => new Date(minute * 60_000).toISOString().slice(11, 16)

describe('what a turn brings in its hours by a test', () => {
  it.each([
    // 2 h at 2.5 m³ an hour bring 5 of 10 m³; nine tenths and more are no shortage that a bucket could tell.
    [10, 2, 2.5, 5],
    [10, 2, 4.49, 8.98],
    [10, 2, 4.5, null],
    [10, 2, 7, null],
    [3, 0.5, 1, 0.5],
  ])('%d m³ in %d h at %d m³ an hour: %s', (volumeM3, hours, testedM3PerH, brought) => {
    expect(broughtInHoursM3({ volumeM3, hours, testedM3PerH })).toBe(brought)
  })

  it('is told from a litre under nine tenths of it, whatever the volume', () => {
    const told = (tenths: number, litresLess: number) =>
      broughtInHoursM3({ volumeM3: tenths / 10, hours: 1, testedM3PerH: (90 * tenths - litresLess) / 1000 }) !== null
    const volumes = Array.from({ length: 200 }, (_, at) => at + 1)
    expect(volumes.filter((tenths) => told(tenths, 0))).toEqual([])
    expect(volumes.filter((tenths) => !told(tenths, 1))).toEqual([])
  })
})

it('says nothing of what an outlet gives for a tank that feeds it only later, which is no fall either', async () => {
  const valley = await openValley()
  const joined = await valley.db.selectFrom('tankOutlet').selectAll().execute()
  expect(joined.map(({ fromOn }) => fromOn > VALLEY_TODAY)).toEqual([true, true])
  const flows = await flowsByOutlet(valley.db)
  for (const { outletId } of joined) {
    const [last, before] = flows.get(outletId)!
    expect(last!.flowM3PerH).toBeLessThan(0.8 * before!.flowM3PerH)
    expect([last!.changeFraction, last!.fellByAFifth]).toEqual([null, false])
  }
  for (const who of ['dovi', 'amaru']) {
    expect((await (await valley.signIn(who)).open('/')).words).not.toMatch(/less than (before|agreed)|brings about/)
  }
})

describe('a turn that was agreed before its outlet was found to give less', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  beforeAll(async () => {
    valley = await openValley()
  })

  it('says what it brings to its taker, on the card and on its page, and to the attendant, until the outlet gives enough again', async () => {
    const { turns } = (await bookedTurns(valley.db, '2026-11-23'))!
    const own = turns.filter(({ plot }) => plot?.holders.includes('Hila Quarm'))
    const turn = own.find(({ on }) => on > VALLEY_TODAY)!
    const hours = (turn.endMinute - turn.startMinute) / 60
    const told = async () => {
      const hila = await valley.signIn('hila')
      const card = (await hila.open('/')).html.querySelector('.turn-card')!.text.replace(/\s+/g, ' ')
      const page = (await hila.open(`/turns/${turn.bookId}`)).words
      const brings = (text: string) => /brings about ([\d.]+) m³ in these hours/.exec(text)?.[1]
      expect(page.match(/brings about/g)?.length ?? 0).toBe(brings(card) ? 1 : 0)
      const next = await linesAt(turn.startMinute - 1)
      const runs = await linesAt(turn.startMinute + START_MINUTES)
      const amaru = await valley.signIn('amaru')
      const today = await amaru.open('/')
      const door = today.html.querySelectorAll('main a').find(({ text }) => text.includes('less than agreed'))
      // The first turn of that outlet that is to come, whose ever it is.
      expect(door?.text.replace(/\s+/g, ' ') ?? '').toMatch(
        brings(card) ? new RegExp(`Outlet ${turn.outlet!.number} brings plot \\d+ less than agreed`) : /^$/,
      )
      if (door) expect(brings((await amaru.open(door.getAttribute('href')!)).words)).toBeDefined()
      return [card, page, next, runs].map(brings)
    }
    /** What the attendant reads of that outlet at that minute. */
    const linesAt = async (minute: number) => {
      valley.setNow(`${turn.on}T00:00:00Z`.replace('00:00', clock(minute)))
      const dovi = await valley.signIn('dovi')
      const { html } = await dovi.open('/')
      valley.setNow(`${VALLEY_TODAY}T10:00:00Z`)
      const lines = html.querySelectorAll('main a').map(({ text }) => text.replace(/\s+/g, ' '))
      const { number } = turn.outlet!
      return lines.find((line) => new RegExp(`Next: outlet ${number}(?!\\d)|Outlet ${number} runs`).test(line))!
    }
    /** 20 litres in so many seconds. */
    const test = async (seconds: number) => {
      const dovi = await valley.signIn('dovi')
      const page = await dovi.fill('/log/tests/bucket', {
        outletId: turn.outletId,
        containerLitres: '20',
        ...Object.fromEntries([1, 2, 3, 4].map((at) => [`seconds${at}`, String(seconds)])),
        pumpState: 'clear',
        onDate: VALLEY_TODAY,
      })
      expect(page.status).toBe(200)
    }
    expect(await told()).toEqual(Array(4).fill(undefined))
    await test(36) // 2 m³ an hour
    expect(await told()).toEqual(Array(4).fill((2 * hours).toFixed(1)))
    await test(14.4) // 5 m³ an hour
    expect(await told()).toEqual(Array(4).fill(undefined))
  })
})
