import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const DAY = `/log/days/${VALLEY_TODAY}`

let valley: Awaited<ReturnType<typeof openValley>>
let dovi: Visitor
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T19:00:00Z`)
  dovi = await valley.signIn('dovi')
})

const lines = async () =>
  (await shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, VALLEY_TODAY)).lines
/** The one open turn of its plot on the day. */
const openTurn = async () => {
  const all = await lines()
  const open = all.filter(({ state, turn }) => state === 'open' && !turn.outlet?.tank)
  return open.find(({ turn }) => all.filter((one) => one.turn.plotId === turn.plotId).length === 1)!.turn
}
const lineOf = async (bookId: string) => (await lines()).find(({ turn }) => turn.bookId === bookId)!

async function say(bookId: string, cause: string) {
  const page = await dovi.open(DAY)
  const inputs = page.html.querySelectorAll(`form[action="/turns/${bookId}/became"] input`)
  const hidden = Object.fromEntries(inputs.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
  return dovi.agent
    .post(`/turns/${bookId}/became`)
    .type('form')
    .send({ ...hidden, cause })
}

describe('a draw beside the list', () => {
  it('of the plot and the hours of a no-show is asked about, and becomes the turn’s own once it is corrected', async () => {
    const turn = await openTurn()
    await say(turn.bookId, 'no-show')
    expect((await dovi.open(DAY)).words).not.toContain('come after all?')
    const form = await dovi.open('/log/water?use=irrigation&method=volume')
    const drawn = await dovi.send(form, {
      place: optionValue(form, 'place', `Outlet ${turn.outlet!.number}`),
      plotId: optionValue(form, 'plotId', `${turn.plot!.number} `),
      volume: '1.5',
      unit: 'm3',
    })
    expect(drawn.path).toMatch(/^\/log\/lines\/drawn\//)
    expect((await lineOf(turn.bookId)).state).toBe('missed')
    const asked = await dovi.open(DAY)
    expect(asked.words).toContain('1.5 m³ for this plot stand in the log of this day beside the list')
    const door = asked.html.querySelector('a[href$="/correct"]')!.getAttribute('href')!
    await dovi.fill(door, { reason: 'It was the turn.' })
    const line = await lineOf(turn.bookId)
    expect([line.state, line.drawnM3]).toEqual(['done', 1.5])
    expect((await dovi.open(DAY)).words).not.toContain('come after all?')
  })

  it('is asked about where it ended between the turn’s beginning and an hour after its end', async () => {
    const turn = await openTurn()
    await say(turn.bookId, 'no-show')
    const clock = (minute: number) =>
      [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':')
    const { startMinute, endMinute } = turn
    for (const [volume, ended] of [
      ['1.1', startMinute - 1],
      ['1.2', startMinute],
      ['1.3', endMinute + 60],
      ['1.4', endMinute + 61],
    ] as const) {
      const form = await dovi.open('/log/water?use=irrigation&method=volume')
      await dovi.send(form, {
        place: optionValue(form, 'place', `Outlet ${turn.outlet!.number}`),
        plotId: optionValue(form, 'plotId', `${turn.plot!.number} `),
        ...{ volume, unit: 'm3', startTime: clock(ended - 5), endTime: clock(ended) },
      })
    }
    const { words } = await dovi.open(DAY)
    const asked = ['1.1', '1.2', '1.3', '1.4'].filter((volume) => words.includes(`${volume} m³ for this plot stand`))
    expect(asked).toEqual(['1.2', '1.3'])
  })

  it('of nothing does not make a turn done', async () => {
    const turn = await openTurn()
    const method = `/log/turns/${turn.bookId}?method=volume`
    const page = await dovi.fill(method, { volume: '0', unit: 'm3' })
    const logged = await valley.db
      .selectFrom('abstraction')
      .select('volumeM3')
      .where('turnId', '=', turn.bookId)
      .execute()
    expect(page.status === 422 || logged.length === 1).toBe(true)
    expect((await lineOf(turn.bookId)).state).toBe('open')
  })

  it('is written for the day that is on the page of the log', async () => {
    const log = await dovi.open('/log/days/2026-11-24')
    const doors = log.html.querySelectorAll('a[href^="/log/water"]')
    expect(doors).toHaveLength(5)
    for (const door of doors) {
      const form = await dovi.open(door.getAttribute('href')!.replaceAll('&amp;', '&'))
      expect(form.html.querySelector('#onDate')!.getAttribute('value')).toBe('2026-11-24')
    }
    const ahead = await dovi.open('/log/water?use=drinking&on=2026-12-24')
    expect(ahead.html.querySelector('#onDate')!.getAttribute('value')).toBe(VALLEY_TODAY)
  })
})

describe('what became of a turn', () => {
  it('is not said with one tap where somebody else is to be named, nor by a word that the book does not know', async () => {
    const turn = await openTurn()
    for (const cause of ['stand-in', '', 'rained']) expect((await say(turn.bookId, cause)).status, cause).toBe(409)
    expect((await lineOf(turn.bookId)).state).toBe('open')
  })
})
