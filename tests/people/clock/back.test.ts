import { describe, expect, it } from 'vitest'
import { addAbstraction } from '../../../server/abstractions/draw/store.ts'
import { readClock } from '../../../server/book/clock.ts'
import { joinHere } from '../../../server/book/joining/join.ts'
import { verifyBook } from '../../../server/book/verify.ts'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { devices } from '../../book/devices.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const DAY = `/log/days/${VALLEY_TODAY}`
const MARK = 'Written while the clock of the machine could not be right.'
const at = (clock: string) => `${VALLEY_TODAY}T${clock}:00Z`

type Valley = Awaited<ReturnType<typeof openValley>>

/** At half past one Dovi's own turn, of half past twelve, is an hour old. */
async function begun(by: string[] = []) {
  const valley = await openValley()
  valley.setNow(at('13:30'))
  const week = (await standingWeek(valley.db, '2026-11-23'))!
  const own = week.standing.find(({ on, plot }) => on === VALLEY_TODAY && plot?.holders.includes('Dovi Marrok'))!
  const visitors = await Promise.all(['dovi', 'elu', 'amaru', ...by].map((name) => valley.signIn(name)))
  const [dovi, elu, amaru] = visitors as [Visitor, Visitor, Visitor]
  return { valley, own, dovi, elu, amaru }
}

async function tap(visitor: Visitor, turnId: string, cause: string) {
  const day = await visitor.open(DAY)
  const action = `/turns/${turnId}/became`
  const keys = day.html.querySelectorAll(`form[action="${action}"] input`)
  const hidden = Object.fromEntries(keys.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
  return visitor.agent
    .post(action)
    .type('form')
    .send({ ...hidden, cause })
}

const excuses = ({ db }: Valley) => db.selectFrom('turnExcuse').selectAll().execute()
const marks = async ({ db }: Valley) => (await db.selectFrom('clockMark').selectAll().execute()).length
const moments = async ({ db }: Valley) =>
  (await db.selectFrom('entry').select('writtenAt').orderBy('seq', 'desc').limit(2).execute()).map(
    (one) => one.writtenAt,
  )
/** A line that hangs on no hour. */
async function line(visitor: Visitor, what = 'cable burnt'): Promise<void> {
  const form = await visitor.open('/log/faults/new')
  const pumpId = optionValue(form, 'pumpId', 'Heron')
  expect((await visitor.send(form, { pumpId, onDate: VALLEY_TODAY, what })).status).toBe(200)
}

describe('a clock that is set back by three hours', () => {
  it.each([
    ['after something was written', async (elu: Visitor) => void (await line(elu))],
    ['after somebody looked at a page', async () => {}],
  ])('%s calls no turn off whose hour has come', async (_when, before) => {
    const { valley, own, dovi, elu } = await begun()
    await before(elu)
    valley.setNow(at('10:30'))
    expect((await dovi.open('/')).words).toMatch(
      /this book was in use already on 25 Nov 2026, 13:30\. .* a day\. Say what day and hour it is/,
    )
    expect((await tap(dovi, own.bookId, 'excused')).status).toBe(409)
    expect(await excuses(valley)).toEqual([])
  })

  it('books no hours that are over', async () => {
    const { valley, elu } = await begun()
    await line(elu)
    const booked = async () =>
      (await elu.fill('/turns/ask?as=free', { onDate: VALLEY_TODAY, start: '12:00', volume: '1' })).words
    const late = await booked()
    expect(late).toContain('over')
    valley.setNow(at('10:30'))
    expect(await booked()).toContain('over')
  })

  it('marks what is said by the hour, and tells every other officer until one of them asked', async () => {
    const { valley, own, dovi, elu, amaru } = await begun()
    await line(elu)
    valley.setNow(at('10:30'))
    expect((await tap(dovi, own.bookId, 'no-show')).status).toBe(303)
    expect(await marks(valley)).toBe(1)
    const [last, before] = await moments(valley)
    expect(last! > before!).toBe(true)
    valley.setNow(at('15:00'))
    expect((await amaru.open(DAY)).words).toContain(`13:30 ▲ ${MARK}`)
    expect((await amaru.open('/')).words).toContain('a line that hangs on the hour')
    expect((await dovi.open('/')).words).not.toContain('a line that hangs on the hour')
    const own2 = await dovi.open('/log/check')
    expect(own2.words).toContain(
      'Said of a turn (13:30), Plot 32. It hangs on the hour, and Dovi Marrok wrote it while the clock',
    )
    expect(own2.html.querySelector('a[href$="/clock"]')).toBeNull()
    const list = await amaru.open('/log/check')
    const settle = list.html.querySelector('a[href$="/clock"]')!.getAttribute('href')!
    expect((await dovi.fill(settle, { words: 'All is well.' })).status).toBe(422)
    const done = await amaru.fill(settle, { words: 'Asked at the pump: nobody came.' })
    expect(done.words).toContain('Asked at the pump: nobody came. (Amaru Tolle)')
    expect((await amaru.open('/')).words).not.toContain('a line that hangs on the hour')
    // What was written by a clock that is right again carries no mark.
    await line(elu, 'hose torn')
    expect(await marks(valley)).toBe(1)
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })

  it('goes by the hour that somebody tells, and what is written then is marked', async () => {
    const { valley, own, dovi, elu } = await begun()
    await line(elu)
    valley.setNow(at('10:30'))
    const early = await dovi.fill('/people/settle/clock', { day: VALLEY_TODAY, hour: '12:00' })
    expect([early.status, early.words]).toEqual([422, expect.stringContaining('this book was in use already')])
    expect((await dovi.fill('/people/settle/clock', { day: VALLEY_TODAY, hour: '14:00' })).status).toBe(200)
    expect((await tap(dovi, own.bookId, 'excused')).status).toBe(409)
    await line(elu, 'hose torn')
    expect((await moments(valley))[0]).toBe(`${VALLEY_TODAY}T14:00:00.000Z`)
    expect(await marks(valley)).toBe(2)
  })
})

it('is not suspected of another device that wrote by a clock three hours ahead, once both books are one', async () => {
  const { device, draw, pen } = await devices()
  const [here, there] = [device(), device()]
  await pen(there, (one) => addAbstraction(one, draw()), '2026-06-11T17:30:00.000Z')
  await pen(here, (one) => joinHere(one, there), '2026-06-11T14:30:00.000Z')
  expect((await readClock(here, new Date('2026-06-11T14:30:10Z'))).doubt).toBeNull()
  expect((await readClock(here, new Date('2026-06-11T11:30:00Z'))).doubt).toBe('behind')
})

describe('a clock that had stood ahead and is mended', () => {
  it('by some minutes says nothing and marks nothing, and the time of the book does not run back', async () => {
    const { valley, elu } = await begun()
    await line(elu)
    valley.setNow(at('13:16'))
    expect((await elu.open('/')).words).not.toContain('The clock of this machine')
    await line(elu, 'hose torn')
    const [last, before] = await moments(valley)
    expect(last! > before!).toBe(true)
    expect(await marks(valley)).toBe(0)
  })

  it('by hours is believed once another officer has put a name under it', async () => {
    const { valley, own, dovi, elu, amaru } = await begun()
    await line(elu)
    valley.setNow(at('10:30'))
    const told = await dovi.fill('/people/settle/clock', { day: VALLEY_TODAY, hour: '10:32' })
    expect(told.words).toContain('Dovi Marrok says that the clock of the machine stood ahead and is right now')
    expect((await tap(dovi, own.bookId, 'excused')).status).toBe(409)
    const again = await elu.fill('/people/settle/clock', { day: VALLEY_TODAY, hour: '10:32' })
    expect([again.status, again.words]).toEqual([409, expect.stringContaining('waits for another officer')])
    expect((await amaru.open('/')).words).toContain('that the clock stood ahead and is right now, said by Dovi Marrok')
    const list = await amaru.open('/log/check')
    const name = list.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!
    expect((await dovi.open('/log/check')).html.querySelector(`form[action="${name}"]`)).toBeNull()
    await amaru.send(list, {}, name)
    valley.setNow(at('10:40'))
    expect((await elu.open('/')).words).not.toContain('The clock of this machine')
    const before = await marks(valley)
    expect((await tap(dovi, own.bookId, 'excused')).status).toBe(303)
    expect(await marks(valley)).toBe(before)
    expect(await excuses(valley)).toMatchObject([{ onDate: VALLEY_TODAY, clock: '10:40' }])
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })
})
