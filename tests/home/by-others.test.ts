import { beforeAll, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
const at = (clock: string, on = VALLEY_TODAY) => valley.setNow(`${on}T${clock}:00Z`)
/** What the first page tells somebody that others wrote. */
async function told(who: string): Promise<string> {
  const { words } = await (await valley.signIn(who)).open('/')
  return /Written by others for you.*?(?=Your water, weeks|Water in the stream)/s.exec(words)?.[0] ?? ''
}

/** The turn of a plot today. */
const turnOfToday = (plot: number) =>
  valley.db
    .selectFrom('turn')
    .innerJoin('plot', 'plot.entryId', 'turn.plotId')
    .select('turn.id')
    .where('onDate', '=', VALLEY_TODAY)
    .where('plot.number', '=', plot)
    .executeTakeFirstOrThrow()

beforeAll(async () => {
  valley = await openValley()
})

it('what others write in somebody’s name stands on the first page of that person, of nobody else, for a week', async () => {
  at('07:20')
  const hila = await valley.signIn('hila')
  expect(await told('hila')).toBe('')
  // Her own request is no news to her.
  await hila.fill('/turns/ask', { volume: '2' })
  expect(await told('hila')).toBe('')
  const dovi = await valley.signIn('dovi')
  const ask = await dovi.open('/turns/ask')
  await dovi.send(ask, { plotId: optionValue(ask, 'plotId', '36 '), volume: '0.1', everyWeek: 'yes' })
  expect(await told('hila')).toContain('Dovi Marrok asked for water for plot 36')
  const amaru = await valley.signIn('amaru')
  const { entryId: plotId } = await valley.db
    .selectFrom('plot')
    .select('entryId')
    .where('number', '=', 8)
    .executeTakeFirstOrThrow()
  const jaya = await valley.db.selectFrom('person').select('entryId').where('number', '=', 10).executeTakeFirstOrThrow()
  // Within the published week its turns were agreed with her.
  const change = `/people/plots/${plotId}/change?as=holders`
  for (const fromOn of ['2026-10-01', VALLEY_TODAY, '2026-11-29']) {
    const refused = await amaru.fill(change, { holderIds: [jaya.entryId], fromOn })
    expect([fromOn, refused.status, refused.words.includes('published up to 29 Nov 2026')]).toEqual([fromOn, 422, true])
  }
  await amaru.fill(change, { holderIds: [jaya.entryId], fromOn: '2026-11-30' })
  const lost = await told('hila')
  expect(lost).toContain('Amaru Tolle wrote anew who holds plot 8')
  // Who has lost a plot can still read what it got.
  const door = (await hila.open('/')).html
    .querySelectorAll('a')
    .find(({ text }) => text.includes('anew who holds plot 8'))
  expect((await hila.open(door!.getAttribute('href')!)).status).toBe(200)
  expect(await told('goro')).toBe('')
  at('07:20', '2026-12-03')
  expect(await told('hila')).toBe('')
})

it('a turn of which an attendant wrote that nobody came is told to its holder with its day', async () => {
  at('09:06')
  const turn = await turnOfToday(30)
  const dovi = await valley.signIn('dovi')
  const day = `/log/days/${VALLEY_TODAY}`
  const write = async () => dovi.send(await dovi.open(day), { cause: 'no-show' }, `/turns/${turn.id}/became`)
  at('09:04')
  const early = await write()
  expect([early.status, early.words.includes('fifteen minutes')]).toEqual([409, true])
  at('09:05')
  expect((await write()).status).toBe(200)
  expect(await told('besi')).toContain('Dovi Marrok wrote of plot 30’s turn of Wednesday 25 November: nobody came')
})

it('nobody writes that nobody came once the start of a turn was read for its taker', async () => {
  at('12:40')
  const turn = await turnOfToday(35)
  const dovi = await valley.signIn('dovi')
  await dovi.fill(`/log/turns/${turn.id}?as=start`, { meterM3: '2070', asRead: 'yes' })
  const day = await dovi.open(`/log/days/${VALLEY_TODAY}`)
  const refused = await dovi.send(day, { cause: 'no-show' }, `/turns/${turn.id}/became`)
  expect([refused.status, refused.words.includes('somebody came')]).toEqual([409, true])
})

it('water received before the book is not counted for days that the log holds', async () => {
  const amaru = await valley.signIn('amaru')
  const form = await amaru.open('/people/settle/received-before')
  const write = (untilOn: string) =>
    amaru.send(form, { plotId: optionValue(form, 'plotId', '36 '), untilOn, volume: '60' })
  // The first water of plot 36 in the example's log, and the day before it.
  const { first } = await valley.db
    .selectFrom('abstraction')
    .innerJoin('plot', 'plot.entryId', 'abstraction.plotId')
    .select((eb) => eb.fn.min<string>('onDate').as('first'))
    .where('plot.number', '=', 36)
    .executeTakeFirstOrThrow()
  const refused = await write(first)
  expect([refused.status, refused.html.querySelector('#untilOn-error')?.text.includes('counts by itself')]).toEqual([
    422,
    true,
  ])
  const ahead = await write(addDays(VALLEY_TODAY, 1))
  expect(ahead.html.querySelector('#untilOn-error')?.text).toContain('still to come')
  expect((await write(addDays(first, -1))).status).toBe(200)
})

it('hours in which a household does not water are told to it when somebody else wrote them, by name or for all its days', async () => {
  at('07:20')
  const { entryId } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('number', '=', 8)
    .executeTakeFirstOrThrow()
  const words = 'wrote hours in which your household does not water'
  const amaru = await valley.signIn('amaru')
  const ahead = { fromOn: '2026-11-30', fromTime: '06:00', toTime: '12:00', words: 'at school' }
  await amaru.fill('/people/settle/hours', { ...ahead, personId: entryId, weekday: '3', askedHow: 'present' })
  expect(await told('hila')).toContain(`Amaru Tolle ${words}`)
  expect(await told('goro')).not.toContain(words)
  const besi = await valley.signIn('besi')
  await besi.fill('/turns/settle/custom', { ...ahead, personId: entryId, day: '2', cause: 'school' })
  expect(await told('hila')).toContain(`Besi Okuru ${words}`)
})

it('a debt from before the book is told to whoever is to owe it', async () => {
  at('07:20')
  const fanta = await valley.signIn('fanta')
  const form = await fanta.open('/money/settle/from-before')
  const accountId = optionValue(form, 'accountId', '8 Hila')
  await fanta.send(form, { accountId, side: 'held-or-to-pay', amount: '500', onDate: '2026-07-30', words: 'hoses' })
  expect(await told('hila')).toContain('Fanta Brisk wrote that you still owed money from before this book')
  expect(await told('goro')).not.toContain('still owed money')
})

it('a complaint is told to whom it is said to be from and to whom it is about, and not heard by whoever wrote it', async () => {
  at('07:20')
  const besi = await valley.signIn('besi')
  const form = await besi.open('/people/complaints/new')
  const [byId, aboutId] = [optionValue(form, 'byId', '8 '), optionValue(form, 'aboutId', '7 ')]
  const words = 'the gate stood open'
  const written = await besi.send(form, { byId, aboutId, words, saidOn: VALLEY_TODAY, askedHow: 'present' })
  expect(written.status).toBe(200)
  expect(await told('hila')).toContain('Besi Okuru wrote down a complaint as yours')
  expect(await told('goro')).toContain('Besi Okuru wrote down a complaint about you')
  expect(written.html.querySelector('form[action$="/hearings"]')).toBeNull()
  const heard = { heardOn: VALLEY_TODAY, body: 'committee', bothHeard: 'yes', outcome: 'rejected', ends: 'ends' }
  const _csrf = written.html.querySelector('input[name=_csrf]')!.getAttribute('value')!
  const own = { ...heard, _csrf, _form: 'the-own-hearing' }
  expect((await besi.agent.post(`${written.path}/hearings`).type('form').send(own)).status).toBe(409)
  const amaru = await valley.signIn('amaru')
  const other = await amaru.open(written.path)
  expect((await amaru.send(other, heard, `${written.path}/hearings`)).words).toContain('rejected')
})

it('water off the list, put right or struck out is told to whoever holds its plot, of whatever day it is', async () => {
  at('17:30')
  const dovi = await valley.signIn('dovi')
  const form = await dovi.open('/log/water?use=irrigation&method=hours&on=2026-11-02')
  const [place, plotId] = [optionValue(form, 'place', 'Outlet 12 '), optionValue(form, 'plotId', '36 ')]
  const written = await dovi.send(form, { place, plotId, startTime: '12:00', endTime: '13:00' })
  expect(await told('hila')).toContain('Dovi Marrok wrote water off the list for plot 36, Monday 2 November')
  const mended = 'Dovi Marrok put right or struck out water of plot 36, Monday 2 November'
  expect(await told('hila')).not.toContain(mended)
  const again = await dovi.open(`${written.path}/correct`)
  // What stays as it was is no news.
  const same = await dovi.send(again, { reason: 'a word more', remark: 'by the upper path' })
  expect(await told('hila')).not.toContain(mended)
  await dovi.send(await dovi.open(`${same.path}/correct`), { hours: '3:00', endTime: '15:00', reason: 'longer' })
  expect(await told('hila')).toContain(mended)
  expect(await told('chandu')).not.toContain('plot 36')
})

it('who is written as living together with somebody is told to each of them', async () => {
  at('17:30')
  const besi = await valley.signIn('besi')
  const persons = await valley.db.selectFrom('person').select('entryId').where('number', 'in', [1, 8]).execute()
  const personIds = persons.map(({ entryId }) => entryId)
  await besi.fill('/people/settle/lives-together', { personIds, fromOn: VALLEY_TODAY })
  for (const name of ['amaru', 'hila'])
    expect(await told(name)).toContain('Besi Okuru wrote who lives together with you')
  expect(await told('goro')).not.toContain('lives together')
})

it('a password that an officer writes is told to its owner at once, before a second name lets it open anything', async () => {
  at('13:00')
  const { entryId } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'chandu')
    .executeTakeFirstOrThrow()
  const besi = await valley.signIn('besi')
  await besi.fill(`/people/${entryId}/change?as=sign-in`, { password: 'river stone nine' })
  expect(await told('chandu')).toContain('Besi Okuru wrote a new password for you')
  for (const who of ['besi', 'goro']) expect(await told(who)).not.toContain('new password')
  const chandu = await valley.signIn('chandu')
  const own = (await chandu.open('/')).html.querySelectorAll('a').find(({ text }) => text.includes('a new password'))
  expect((await chandu.open(own!.getAttribute('href')!)).words).toContain('Waits for a name: a new password')
})
