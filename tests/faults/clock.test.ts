import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { standingWeek } from '../../server/rotation/outcome/standing-week.ts'
import { listReadings } from '../../server/water/level/store.ts'
import { excuse } from '../rotation/outcome/excuse.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue, type Visitor } from '../support/visitor.ts'

/** Forms that offer a day of their own while the clock is believed. */
const FORMS = ['/water/levels/new', '/log/water?use=drinking', '/crops/weather/new', '/turns/ask']

async function readLevel(visitor: Visitor, fields: Record<string, string>) {
  const form = await visitor.open('/water/levels/new')
  const weirId = optionValue(form, 'weirId', '1')
  return visitor.send(form, { weirId, readAt: '06:10', depth: '150', ...fields })
}

describe.each([
  ['in the year 2000', '2000-01-01T00:05:00Z'],
  ['months ahead', '2027-09-01T00:05:00Z'],
])('a machine whose clock stands %s', (_where, wrong) => {
  it('says so on every page, and no form fills in a day', async () => {
    const valley = await openValley()
    valley.setNow(wrong)
    const dovi = await valley.signIn('dovi')
    for (const path of ['/', '/water', '/log', '/turns', '/sign-in', ...FORMS]) {
      const page = await dovi.open(path)
      expect(page.words, path).toContain('The clock of this machine shows')
      const days = page.html.querySelectorAll('main input[type=date], main input[placeholder]')
      for (const day of days) expect(day.getAttribute('value') ?? '', path).not.toBe(wrong.slice(0, 10))
    }
  })

  it('is told which day it is, takes that day, and marks what is written until it is mended', async () => {
    const valley = await openValley()
    valley.setNow(wrong)
    const dovi = await valley.signIn('dovi')
    const wrongly = await dovi.fill('/people/settle/clock', { day: '2026-11-20', hour: '23:30' })
    expect([wrongly.status, wrongly.words]).toEqual([422, expect.stringContaining('this book was in use already')])
    const told = await dovi.send(wrongly, { day: VALLEY_TODAY })
    expect(told.status).toBe(200)
    const reading = await readLevel(dovi, { readOn: VALLEY_TODAY })
    expect(reading.status).toBe(200)
    expect(reading.words).toContain('Written while the clock of the machine could not be right')
    const last = (await listReadings(valley.db, { fromOn: VALLEY_TODAY })).at(-1)!
    const marks = await valley.db.selectFrom('clockMark').selectAll().where('entryId', '=', last.id).execute()
    expect(marks).toHaveLength(1)
    const fault = await dovi.open('/log/faults/new')
    await dovi.send(fault, { pumpId: optionValue(fault, 'pumpId', 'Heron'), onDate: VALLEY_TODAY, what: 'cable burnt' })
    const line = (await valley.db.selectFrom('fault').select('entryId').orderBy('entryId').execute()).map(
      ({ entryId }) => `/log/lines/fault/${entryId}`,
    )
    const shown = async () => {
      const pages = await Promise.all(['/log/lines/fault', ...line].map((path) => dovi.open(path)))
      return pages.filter(({ words }) => words.includes('Written while the clock')).map(({ path }) => path)
    }
    expect(await shown()).toHaveLength(2) // The list and the one line of that night; no line of before.
    const { writtenAt } = await valley.db
      .selectFrom('entry')
      .select('writtenAt')
      .where('id', '=', last.id)
      .executeTakeFirstOrThrow()
    expect(writtenAt.slice(0, 10)).toBe(VALLEY_TODAY)
    valley.setNow('2026-11-26T06:00:00Z')
    const mended = await valley.signIn('dovi')
    expect((await mended.open('/')).words).not.toContain('The clock of this machine shows')
    const after = await readLevel(mended, { readOn: '2026-11-26', readAt: '05:10' })
    expect(after.words).not.toContain('could not be right')
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })
})

describe('a machine of the year 2000 of which nobody said which day it is', () => {
  it('shows the book as it stood at its last entry, and offices as of then', async () => {
    const valley = await openValley()
    valley.setNow('2000-01-01T00:05:00Z')
    const amaru = await valley.signIn('amaru')
    expect((await amaru.open('/water')).words).not.toContain('never read')
    expect((await amaru.open('/turns')).words).toContain('23 Nov 2026')
  })

  it('refuses nothing of the true day: what was read, paid, said, fetched or seen then is taken and marked', async () => {
    const valley = await openValley()
    valley.setNow('2000-01-01T00:05:00Z')
    const [dovi, fanta] = [await valley.signIn('dovi'), await valley.signIn('fanta')]
    const written = []
    written.push(await readLevel(dovi, { readOn: VALLEY_TODAY }))
    const paper = await dovi.open('/log/water?use=drinking')
    const where = { place: optionValue(paper, 'place', '1'), volume: '6' }
    written.push(await dovi.send(paper, { ...where, onDate: VALLEY_TODAY }))
    const till = await fanta.open('/money/pay')
    const paid = { payerId: optionValue(till, 'payerId', 'Hila'), amount: '500', column: 'cash' }
    written.push(await fanta.send(till, { ...paid, paidOn: VALLEY_TODAY }))
    const { on, bookId } = (await standingWeek(valley.db, '2026-11-23'))!.standing.find(
      (turn) => turn.on > VALLEY_TODAY,
    )!
    written.push(await excuse(dovi, bookId, { onDate: on, clock: '00:01' }))
    for (const { status, words } of written) expect([status, words.slice(0, 600)]).toEqual([200, expect.anything()])
    const marks = await valley.db.selectFrom('clockMark').selectAll().execute()
    expect(marks).toHaveLength(written.length)
    const mistyped = await readLevel(dovi, { readOn: '2062-11-25' })
    expect([mistyped.status, mistyped.words]).toEqual([422, expect.stringContaining('still to come')])
  })
})

describe('a group that rested for months', () => {
  it('says that the machine is right, and nothing more is marked', async () => {
    const valley = await openValley()
    valley.setNow('2027-06-01T08:00:00Z')
    const dovi = await valley.signIn('dovi')
    await dovi.fill('/people/settle/clock', { day: '2027-06-01', hour: '08:02' })
    expect((await dovi.open('/')).words).not.toContain('The clock of this machine shows')
  })
})
