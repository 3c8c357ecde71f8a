import { beforeEach, describe, expect, it } from 'vitest'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'
import { excuse } from './excuse.ts'

const WEEK = '2026-11-23'
const DAY = `/log/days/${VALLEY_TODAY}`
const TODAY = { onDate: VALLEY_TODAY }

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T16:00:00Z`)
})

/** Turns of the day that have begun by four in the afternoon and of which nobody has written anything. */
const begun = async () =>
  (await standingWeek(valley.db, WEEK))!.standing.filter(
    (turn) => turn.on === VALLEY_TODAY && turn.startMinute < 15 * 60,
  )
const clockOf = (minute: number) =>
  [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':')
const excused = async () => valley.db.selectFrom('turnExcuse').selectAll().execute()

async function refused(visitor: Visitor, turnId: string, word: Record<string, string>): Promise<string> {
  const before = (await excused()).length
  const page = await excuse(visitor, turnId, word)
  expect(page.status).toBe(422)
  expect(page.html.querySelector('[name=through]')!.getAttribute('value')).toBe('the neighbour of the plot')
  expect(await excused()).toHaveLength(before)
  return page.words
}

describe('an excused turn', () => {
  it('tells when and through whom word came, and is not excused by one tap for somebody else', async () => {
    const dovi = await valley.signIn('dovi')
    const [turn] = await begun()
    const day = await dovi.open(DAY)
    expect(day.html.querySelector('button[value=excused]')).toBeNull()
    const keys = day.html.querySelectorAll(`form[action="/turns/${turn!.bookId}/became"] input`)
    const hidden = Object.fromEntries(keys.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
    const tapped = await dovi.agent
      .post(`/turns/${turn!.bookId}/became`)
      .type('form')
      .send({ ...hidden, cause: 'excused' })
    expect(tapped.status).toBe(409)
    expect(await excused()).toEqual([])
    const page = await excuse(dovi, turn!.bookId)
    expect(page.words).toContain('Word came through the neighbour of the plot, Tuesday 24 November at 18:30.')
    expect(page.words).toContain('called off beforehand')
  })

  it('tells how the word came; what the attendant taps is what the attendant saw, and says nothing of asking', async () => {
    const dovi = await valley.signIn('dovi')
    const [turn, other] = await begun()
    const day = await dovi.open(DAY)
    // The button carries the cause and nothing else.
    const form = day.html.querySelector(`form[action="/turns/${turn!.bookId}/became"]`)!
    const named = form.querySelectorAll('input, select').map((one) => one.getAttribute('name')!)
    expect(named.filter((name) => !name.startsWith('_'))).toEqual([])
    const keys = form.querySelectorAll('input').map((one) => [one.getAttribute('name')!, one.getAttribute('value')!])
    // What is sent beside it is not taken.
    const sent = { ...Object.fromEntries(keys), cause: 'no-show', askedHow: 'child', bearer: 'Nilo' }
    await dovi.agent.post(`/turns/${turn!.bookId}/became`).type('form').send(sent)
    const through = () => valley.db.selectFrom('askedThrough').select(['entryId', 'how']).execute()
    const before = await through()
    const said = await valley.db.selectFrom('turnOutcome').selectAll().where('turnId', '=', turn!.bookId).execute()
    expect(said.map(({ cause }) => cause)).toEqual(['no-show'])
    expect(before.map(({ entryId }) => entryId)).not.toContain(said[0]!.entryId)
    const page = await excuse(dovi, other!.bookId, { askedHow: 'child' })
    expect((await through()).length).toBe(before.length + 1)
    expect(page.words).toContain('Asked through a child.')
  })

  it('is for the committee to decide once its hour has come, with the reason, and never for an own turn', async () => {
    const [dovi, amaru] = [await valley.signIn('dovi'), await valley.signIn('amaru')]
    const turns = await begun()
    const isOwn = (turn: (typeof turns)[number]) => turn.plot!.holders.some((name) => name.startsWith('Amaru'))
    const turn = turns.find((one) => !isOwn(one))!
    const atTheHour = { ...TODAY, clock: clockOf(turn.startMinute) }
    expect(await refused(dovi, turn.bookId, atTheHour)).toContain('is for the committee to decide; ask them')
    expect(await refused(dovi, turn.bookId, { ...atTheHour, decidedFor: 'He was ill.' })).toContain('ask them')
    expect(await refused(amaru, turn.bookId, atTheHour)).toContain('Write why the committee excuses it')
    expect(await refused(amaru, turn.bookId, { ...TODAY, clock: '16:01' })).toContain('cannot have come later than now')
    const page = await excuse(amaru, turn.bookId, { ...atTheHour, decidedFor: 'His child was brought to the clinic.' })
    expect(page.words).toContain('The turn is not excused yet')
    expect(page.words).toContain('His child was brought to the clinic.')
    const id = page.path.split('/').at(-1)!
    const approval = `/book/names/${id}`
    expect(page.html.querySelector(`form[action="${approval}"]`)).toBeNull()
    const day = await amaru.open(DAY)
    expect(day.words).not.toContain('excused afterwards by the committee')
    expect(day.words).toContain('waits for a second name of the committee')
    const besi = await valley.signIn('besi')
    expect((await besi.open('/')).html.querySelector(`a[href="${page.path}"]`)).not.toBeNull()
    expect((await besi.send(await besi.open(page.path), {}, approval)).words).toContain('The turn is excused.')
    const after = await amaru.open(DAY)
    expect(after.words).toContain('The committee excused it: His child was brought to the clinic.')
    expect(after.words).toContain('excused afterwards by the committee')
    const before = { ...TODAY, clock: clockOf(turns[1]!.startMinute - 1) }
    if (!isOwn(turns[1]!)) expect((await excuse(dovi, turns[1]!.bookId, before)).words).toContain('Word came through')
  })

  it('that the committee decided with two names is undone neither by a tap nor by what was written meanwhile', async () => {
    const [dovi, amaru, besi] = [await valley.signIn('dovi'), await valley.signIn('amaru'), await valley.signIn('besi')]
    const isOfOffice = (names: string[]) => names.some((name) => /^(Amaru|Besi)/.test(name))
    const turn = (await begun()).find((one) => !isOfOffice(one.plot!.holders))!
    const action = `/turns/${turn.bookId}/became`
    const late = { ...TODAY, clock: clockOf(turn.startMinute), decidedFor: 'She was at the clinic.' }
    const asked = await excuse(amaru, turn.bookId, late)
    const again = await excuse(besi, turn.bookId, { ...late, decidedFor: 'Her child was ill.' })
    expect([again.status, again.words]).toEqual([409, expect.stringContaining('it waits for a second name')])
    const day = await dovi.open(DAY)
    const keys = day.html.querySelectorAll(`form[action="${action}"] input`)
    const hidden = Object.fromEntries(keys.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
    const tap = (cause: string, key: string) =>
      dovi.agent
        .post(action)
        .type('form')
        .send({ ...hidden, _form: key, cause })
    expect((await tap('no-show', hidden._form!)).status).toBe(303)
    await besi.send(await besi.open(asked.path), {}, `/book/names/${asked.path.split('/').at(-1)}`)
    const decided = await dovi.open(DAY)
    expect(decided.words).toContain('The committee excused it: She was at the clinic.')
    expect(decided.html.querySelectorAll(`form[action="${action}"] button[value=here]`)).toEqual([])
    for (const cause of ['here', 'no-show', 'late', 'breakdown']) {
      const refused = await tap(cause, `another-${cause}-key`.padEnd(16, '0').slice(0, 16))
      expect([cause, refused.status, refused.text]).toEqual([cause, 409, expect.stringContaining('with two names')])
    }
    expect((await dovi.open(DAY)).words).toContain('The committee excused it: She was at the clinic.')
  })

  it('rests on word of the last 31 days, and not on that of another year', async () => {
    const [turn] = await begun()
    const dovi = await valley.signIn('dovi')
    for (const onDate of ['2025-11-24', '2026-10-24'])
      expect(await refused(dovi, turn!.bookId, { onDate })).toContain('more than a month before the turn')
    const page = await excuse(dovi, turn!.bookId, { onDate: '2026-10-25' })
    expect(page.words).toContain('Word came through the neighbour of the plot, Sunday 25 October at 18:30.')
  })

  it('takes word that came this minute', async () => {
    const turn = (await standingWeek(valley.db, WEEK))!.standing.find(({ on }) => on > VALLEY_TODAY)!
    const dovi = await valley.signIn('dovi')
    const later = await refused(dovi, turn.bookId, { ...TODAY, clock: '16:01' })
    expect(later).toContain('cannot have come later than now')
    expect((await excuse(dovi, turn.bookId, { ...TODAY, clock: '16:00' })).words).toContain('25 November at 16:00.')
  })

  it('may be called off by its holder until its hour, and then names the holder', async () => {
    const coming = (await standingWeek(valley.db, WEEK))!.standing.filter((turn) => turn.on > VALLEY_TODAY)
    const heldBy = (name: string) =>
      coming.find((turn) => turn.plot!.holders.some((holder) => holder.toLowerCase().startsWith(name)))
    const name = ['hila', 'fanta', 'goro'].find((one) => heldBy(one))!
    const own = heldBy(name)!
    const at = (minute: number) => valley.setNow(`${own.on}T${clockOf(minute)}:00Z`)
    at(own.startMinute - 60)
    const holder = await valley.signIn(name)
    const action = `/turns/${own.bookId}/became`
    at(own.startMinute - 5)
    const page = await holder.open(`/log/days/${own.on}`)
    const keys = page.html.querySelectorAll(`form[action="${action}"] input`)
    const body = {
      ...Object.fromEntries(keys.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!])),
      cause: 'excused',
    }
    at(own.startMinute)
    expect((await holder.agent.post(action).type('form').send(body)).status).toBe(409)
    expect(await excused()).toEqual([])
    at(own.startMinute - 1)
    expect((await holder.agent.post(action).type('form').send(body)).status).toBe(303)
    expect(await excused()).toMatchObject([{ onDate: own.on, clock: clockOf(own.startMinute - 1), decidedFor: null }])
  })
})

describe('water that counts though it never came', () => {
  it('is told apart from what came on the plot’s reason page', async () => {
    const dovi = await valley.signIn('dovi')
    const [turn] = (await begun()).filter((one) => one.volumeM3 > 1)
    const next = `/turns/working/why/2026-11-30/${turn!.plotId}`
    const before = await dovi.open(next)
    expect(before.words).not.toContain('did not come')
    const day = await dovi.open(DAY)
    const keys = day.html.querySelectorAll(`form[action="/turns/${turn!.bookId}/became"] input`)
    const hidden = Object.fromEntries(keys.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
    await dovi.agent
      .post(`/turns/${turn!.bookId}/became`)
      .type('form')
      .send({ ...hidden, cause: 'no-show' })
    const { words } = await dovi.open(next)
    const volume = String(Math.round(turn!.volumeM3 * 10) / 10)
    expect(words).toContain(
      `${volume} m³ of turns missed without word are counted as if they had come; they did not come.`,
    )
    expect(words).toMatch(/m³ counted so far and/)
    expect(words).not.toMatch(/received so far/)
  })
})
