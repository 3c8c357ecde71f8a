import { beforeEach, describe, expect, it } from 'vitest'
import type { Database } from '../../../server/database/connection.ts'
import { openBook, type TestBook } from '../../support/book.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const LOOK = '/turns/weeks/2026-12-07/publish'

let here: TestBook & { signIn(name: string): Promise<Visitor> }
let there: typeof here

beforeEach(async () => {
  here = await openValley()
  const other = await openBook('2026-11-25T10:00:00Z', await serialized(here.db))
  there = {
    ...other,
    signIn: async (signInName) => {
      const visitor = other.visitor()
      await visitor.fill('/sign-in', { signInName, password: 'practice valley' })
      return visitor
    },
  }
})

const clock = (book: TestBook, at: string) => book.setNow(`2026-11-25T${at}:00Z`)

async function publish(book: typeof here) {
  clock(book, '12:00')
  const chandu = await book.signIn('chandu')
  const look = await chandu.open('/turns/weeks/2026-11-30/publish')
  expect((await chandu.send(look, {}, '/turns/weeks/2026-11-30/publish')).status).toBe(200)
}

/** The other device's file is brought by one officer and joined by another. */
async function join(other: Database, at = '2026-11-25T13:00:00Z') {
  here.setNow(at)
  const [besi, goro] = [await here.signIn('besi'), await here.signIn('goro')]
  const form = (await besi.open('/book/join')).html.querySelector('main form')!
  const keyed = (name: string) => form.querySelector(`[name=${name}]`)!.getAttribute('value')!
  const answer = await besi.agent
    .post('/book/join?as=look')
    .field('_csrf', keyed('_csrf'))
    .field('_form', keyed('_form'))
    .attach('book', await serialized(other), 'other.sqlite')
  await besi.send(await besi.read(answer, '/book/join?as=look'), {}, '/book/join')
  const waits = await goro.open('/log/check?as=joined')
  const door = waits.html.querySelector('form[action^="/book/names/join/"]')!
  await goro.send(waits, {}, door.getAttribute('action')!)
}

/** A line of each room, as the pages of another device take them. */
async function writeAll(book: typeof here) {
  clock(book, '11:00')
  const [amaru, dovi] = [await book.signIn('amaru'), await book.signIn('dovi')]
  const plotId = await idOf(book, 'plot', 36)
  await amaru.fill('/crops/new', { plotId, cropKey: 'kitchen_garden', area: '100', sownOn: '2026-11-25' })
  await amaru.fill('/people/settle/received-before', { plotId, untilOn: '2026-07-01', volume: '3' })
  const at = '/log/water?use=irrigation&method=volume&on=2026-11-24'
  const form = await dovi.open(at)
  await dovi.send(form, { plotId, place: optionValue(form, 'place', 'Weir 2'), volume: '60', unit: 'm3' })
  await dovi.fill('/water/levels/new', {
    ...{ weirId: await idOf(book, 'weir', 2), readOn: '2026-11-25', readAt: '06:00', depth: '5', flowSeen: 'yes' },
    ...{ pumpOffOn: '2026-11-24', pumpOffAt: '18:00' },
  })
  await dovi.fill('/crops/weather/new', { onDate: '2026-11-25', rainMm: '40' })
  const ask = await dovi.open('/turns/ask')
  await dovi.send(ask, { plotId, volume: '0.1', everyWeek: 'yes' })
  const test = await dovi.open('/log/tests/bucket')
  await dovi.send(test, {
    ...{ outletId: optionValue(test, 'outletId', '12 '), containerLitres: '200', pumpState: 'clear' },
    ...{ seconds1: '140', seconds2: '140', seconds3: '140', seconds4: '140' },
  })
}

async function idOf({ db }: TestBook, table: 'plot' | 'weir', number: number): Promise<string> {
  const row = await db.selectFrom(table).select('entryId').where('number', '=', number).executeTakeFirstOrThrow()
  return row.entryId
}

const TOLD: [what: string, words: RegExp][] = [
  ['a crop', /a crop of 100 m² sown on 25 Nov 2026/],
  ['water from before the book', /received before the book: 3/],
  ['water that no meter showed', /water off the list that nobody metered: 60 m³/],
  ['a level', /level|reading/i],
  ['rain', /rain/],
  ['what was asked for somebody else', /0\.1 m³/],
  ['what an outlet gives', /what an outlet gives: settled anew/],
]

/** The lines of the last look about what is not as in the last published week. */
async function looked(who = 'besi'): Promise<string> {
  const { words } = await (await here.signIn(who)).open(LOOK)
  return /(?:One thing is|\d+ things are) not as in the last published week.*/s.exec(words)?.[0] ?? ''
}

describe('what two devices wrote before one of them published, and was joined afterwards', () => {
  it('stands on the last look of the next week where the other device wrote it, under the moment of a published week', async () => {
    await writeAll(there)
    await publish(here)
    const before = await looked()
    for (const [what, words] of TOLD) expect([what, words.test(before)]).toEqual([what, false])
    await join(there.db)
    const after = await looked()
    for (const [what, words] of TOLD) expect([what, words.test(after)]).toEqual([what, true])
    // Nor does whoever brought it publish by a name that stands in the file.
    expect(await looked('amaru')).toContain('You wrote')
  })

  it('stands there where this device wrote it and the other published without it', async () => {
    await writeAll(here)
    await publish(there)
    await join(there.db)
    const after = await looked()
    for (const [what, words] of TOLD) expect([what, words.test(after)]).toEqual([what, true])
  })

  it('stands there no more where it was known to whoever published', async () => {
    await writeAll(there)
    await publish(there)
    await join(there.db)
    const after = await looked()
    for (const [what, words] of TOLD) expect([what, words.test(after)]).toEqual([what, false])
  })

  it('is told to whom it concerns, and to whoever is said to have written it, from the day of the joining on', async () => {
    await writeAll(there)
    const told = async (who: string) => {
      const { words } = await (await here.signIn(who)).open('/')
      return /Written by others for you.{0,600}/s.exec(words)?.[0] ?? ''
    }
    await join(there.db, '2026-12-04T13:00:00Z')
    expect(await told('hila')).toContain('Dovi Marrok wrote water off the list for plot 36')
    expect(await told('hila')).not.toContain('in your name')
    const brought = 'Besi Okuru joined the book of another device, with lines in your name'
    for (const who of ['dovi', 'amaru']) expect(await told(who)).toContain(brought)
    const own = (await (await here.signIn('dovi')).open('/log/check?as=joined')).words
    expect(own).toMatch(/Besi Okuru joined the book of another device, .* in your name; .*1 × A line of the log/)
    expect(own).not.toContain('A crop of a plot')
    here.setNow('2026-12-13T13:00:00Z')
    for (const who of ['hila', 'dovi', 'amaru']) expect(await told(who)).not.toMatch(/another device|plot 36/)
  })
})
