import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import type { Pen } from '../../../server/book/entries.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { listPersons } from '../../../server/people/person/store.ts'
import { fairSeason } from '../../../server/rotation/fairness/season-state.ts'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { addAmendment } from '../../../server/rotation/published/amendment-store.ts'
import { type BookedTurn, plainTurn } from '../../../server/rotation/published/turn-store.ts'
import { addSwap, laidSwap, payerOfTurn, writeSwap } from '../../../server/rotation/swap/store.ts'
import { holdFromToday, openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Fields, Seen, Visitor } from '../../support/visitor.ts'

const WEEK = '2026-11-23'
const AFTER = '2026-12-01'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const standing = async () => (await standingWeek(valley.db, WEEK))!.standing
const turnOfPlot = async (plotId: string, on: string) =>
  (await standing()).find((turn) => turn.plotId === plotId && turn.on === on)!
/** Of one outlet, so that each plot has one turn on a day: two turns to come that the week lets change places. */
async function pair(): Promise<[BookedTurn, BookedTurn]> {
  const turns = (await standing()).filter((turn) => turn.on >= VALLEY_TODAY)
  const isOnly = ({ plotId, on }: BookedTurn) =>
    turns.filter((one) => one.plotId === plotId && one.on === on).length === 1
  for (const first of turns.filter(isOnly))
    for (const second of turns.filter((turn) => isOnly(turn) && turn.on > first.on)) {
      const swap = { weekStartOn: WEEK, turnId: first.bookId, otherTurnId: second.bookId, toPlotId: second.plotId }
      if (isDawn(first) !== isDawn(second) && 'turns' in (await laidSwap(valley.db, swap))) return [first, second]
    }
  throw new Error('no two turns that could change places')
}
const isDawn = ({ startMinute }: { startMinute: number }) => startMinute < 8 * 60
const season = async (today: string) => fairSeason(valley.db, answers.rotation, (await currentGroup(valley.db))!, today)

/** A new holder of a plot who signs in alone. */
async function holderOf(turn: BookedTurn, number: number, name: string): Promise<Visitor> {
  const password = 'a word of their own'
  await chair.fill('/people/new', {
    number: String(number),
    name,
    roles: ['member'],
    signInName: name,
    password,
  })
  const form = await chair.open(`/people/plots/${turn.plotId}/change?as=holders`)
  const box = form.html
    .querySelectorAll('label')
    .find((label) => label.text.includes(name))!
    .getAttribute('for')!
  const value = form.html.querySelector(`#${box}`)!.getAttribute('value')!
  await holdFromToday(valley.db, turn.plotId!, [value])
  const visitor = valley.visitor()
  await visitor.fill('/sign-in', { signInName: name, password })
  return visitor
}

describe('two members who swap their turns', () => {
  it('each agree for themselves; sheet, hard hours, payer and fairness then follow', async () => {
    const [first, second] = await pair()
    const [mine, theirs] = [first.plotId, second.plotId]
    const before = (await season(VALLEY_TODAY)).burdens
    const fairBefore = (await season(AFTER)).fairness.plots.filter((line) => [mine, theirs].includes(line.plotId))
    const lumi = await holderOf(first, 901, 'lumian')
    const kelo = await holderOf(second, 902, 'kelora')

    const proposed = await lumi.fill(`/turns/${first.bookId}/otherwise?as=swap`, {
      otherTurnId: second.bookId,
      payer: 'taker',
    })
    expect(proposed.words).toContain('lumian agreed, written by lumian')
    expect(proposed.words).toContain(`Plot ${second.plot!.number} (kelora) has not agreed yet`)
    expect(proposed.html.querySelector('form[action^="/turns/asked/swaps/"]')).toBeNull() // Nobody agrees for the other.
    expect((await turnOfPlot(mine, first.on)).bookId).toBe(first.bookId)

    const agreed = await kelo.send(await kelo.open('/turns/asked?as=swaps'), {})
    expect(agreed.words).toContain('Agreed by both')
    const [nowMine, nowTheirs] = [await turnOfPlot(mine, second.on), await turnOfPlot(theirs, first.on)]
    expect(nowMine).toMatchObject({
      startMinute: second.startMinute,
      volumeM3: first.volumeM3,
      outletId: first.outletId,
    })
    expect(nowTheirs).toMatchObject({ startMinute: first.startMinute, volumeM3: second.volumeM3 })
    expect(await payerOfTurn(valley.db, nowMine.bookId)).toMatchObject({ plotId: mine })

    const sheet = await chair.open(`/turns/weeks/${WEEK}/sheet`)
    const rows = sheet.html.querySelectorAll('.block title').map((one) => one.text)
    const brought = rows.filter((row) => row.includes('brought in later, see below'))
    // Only what stands is drawn: each of the two at the hour that was the other's.
    for (const { plot, startMinute: was } of [first, second]) {
      const own = brought.filter((row) => row.startsWith(`${plot!.number} ${plot!.holders.join(', ')}`))
      expect(own).toHaveLength(1)
      expect(own[0]).not.toContain(
        `, ${String(Math.floor(was / 60)).padStart(2, '0')}:${String(was % 60).padStart(2, '0')}–`,
      )
    }
    expect(brought).toHaveLength(2)
    expect(sheet.words).toContain('swapped by both; whoever takes the water pays')

    const after = (await season(VALLEY_TODAY)).burdens
    const dawns = (counts: typeof after, plotId: string) => counts[plotId]?.dawn ?? 0
    const [more, less] = isDawn(second) ? [mine, theirs] : [theirs, mine]
    expect(dawns(after, more)).toBe(dawns(before, more) + 1)
    expect(dawns(after, less)).toBe(dawns(before, less) - 1)

    const draw = { unit: 'm3', startTime: '13:00', endTime: '13:40' }
    valley.setNow('2026-11-27T08:00:00Z')
    const dovi = await valley.signIn('dovi')
    for (const turn of [nowMine, nowTheirs])
      await dovi.fill(`/log/turns/${turn.bookId}?method=volume`, {
        ...draw,
        volume: String(turn.volumeM3),
      })
    const fair = (await season(AFTER)).fairness.plots
    for (const line of fairBefore) {
      const now = fair.find((one) => one.plotId === line.plotId)!
      // Before anybody had typed them, both turns counted as drawn by whoever was to get them.
      expect(now.receivedM3).toBeCloseTo(line.receivedM3, 6)
      expect(now.entitledM3).toBe(line.entitledM3)
    }
    valley.setNow(`${AFTER}T08:00:00Z`)
    const page = await (await valley.signIn('amaru')).open(`/turns/working/fair/${mine}`)
    expect(page.status).toBe(200)
  })

  it('keeps who pays when a swapped turn is changed again later', async () => {
    const [first, second] = await pair()
    const { id: writtenBy } = (await listPersons(valley.db))[0]!
    const writing = <T>(work: (pen: Pen) => Promise<T>) =>
      valley.db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T10:00:00.000Z` }))
    const swap = { weekStartOn: WEEK, turnId: first.bookId, otherTurnId: second.bookId, toPlotId: second.plotId }
    const laid = await laidSwap(valley.db, swap)
    if (!('turns' in laid)) throw new Error('refused')
    await writing(async (pen) => {
      const id = await addSwap(pen, { ...swap, payer: 'holder' })
      await writeSwap(pen, { ...swap, id, payer: 'holder' }, laid.turns, 'swapped')
    })
    // Whoever had the hours pays for what is drawn in them.
    const mine = await turnOfPlot(first.plotId, second.on)
    expect(await payerOfTurn(valley.db, mine.bookId)).toMatchObject({ plotId: second.plotId })
    const { plotId, outletId, on, startMinute } = mine
    const volumeM3 = Math.round(mine.volumeM3 * 500) / 1000
    const change = { kind: 'lengthen' as const, plotId, outletId, wasOn: on, on, startMinute, volumeM3, reason: 'less' }
    const turn = { ...plainTurn(mine), volumeM3 }
    await writing((pen) => addAmendment(pen, { weekStartOn: WEEK, turnId: mine.bookId, change, turn }))
    const later = await turnOfPlot(first.plotId, second.on)
    expect(later.bookId).not.toBe(mine.bookId)
    expect(await payerOfTurn(valley.db, later.bookId)).toMatchObject({ plotId: second.plotId })
  })

  it('lets no third member agree', async () => {
    const [first, second] = await pair()
    const lumi = await holderOf(first, 901, 'lumian')
    await lumi.fill(`/turns/${first.bookId}/otherwise?as=swap`, { otherTurnId: second.bookId, payer: 'taker' })
    const hila = await valley.signIn('hila')
    const page = await hila.open('/turns/asked?as=swaps')
    expect(page.html.querySelector('form[action^="/turns/asked/swaps/"]')).toBeNull()
    expect((await turnOfPlot(second.plotId, second.on)).bookId).toBe(second.bookId)
  })
})

describe('a consent that one who gains writes in for somebody else', () => {
  it('says how it was given and agrees to nothing before another name', async () => {
    const dovi = await valley.signIn('dovi')
    const doviId = (await listPersons(valley.db)).find(({ name }) => name === 'Dovi Marrok')!.id
    const plots = (await standingWeek(valley.db, WEEK))!.inputs.plots
    const own = plots.find(({ holders }) => holders.includes('Dovi Marrok'))!
    const turn = (await givable(own.id))[0]!
    await dovi.fill(`/turns/${turn.bookId}/otherwise?as=swap`, { toPlotId: own.id, payer: 'holder' })
    const agree = async (plotId: string, fields: Fields) => {
      const page = await dovi.open('/turns/asked?as=swaps')
      const form = page.html.querySelectorAll('main form').find((one) => one.toString().includes(plotId))!
      return dovi.agent
        .post(form.getAttribute('action')!)
        .type('form')
        .send({ ...hidden(form), ...fields })
    }
    await agree(own.id, {})
    expect((await agree(turn.plotId, {})).status).toBe(409)
    expect((await agree(turn.plotId, { given: 'present' })).status).toBe(303)
    const waits = await dovi.open('/turns/asked?as=swaps')
    expect(waits.words).toContain('They were present and put their mark.')
    expect(waits.words).toContain('nobody else says so. It does not count before another person')
    expect(waits.words).not.toContain('Agreed by both')
    expect(waits.html.querySelector('form[action^="/turns/names/swap/"]')).toBeNull()
    expect((await turnOfPlot(turn.plotId, turn.on)).bookId).toBe(turn.bookId)
    const { entryId } = await valley.db
      .selectFrom('swapConsent')
      .select('entryId')
      .where('personId', '<>', doviId)
      .executeTakeFirstOrThrow()
    const approve = `/turns/names/swap/${entryId}`
    const elu = await valley.signIn('elu')
    expect((await elu.send(await elu.open('/turns/asked?as=swaps'), {}, approve)).words).toContain('Agreed by both')
    expect((await standing()).some(({ bookId }) => bookId === turn.bookId)).toBe(false)
  })
})

describe('a consent that was written in for the holder of a plot', () => {
  it('is borne out by that holder, and not by a member of another plot', async () => {
    const dovi = await valley.signIn('dovi')
    const plots = (await standingWeek(valley.db, WEEK))!.inputs.plots
    const own = plots.find(({ holders }) => holders.includes('Dovi Marrok'))!
    const turn = (await givable(own.id))[0]!
    const lumi = await holderOf(turn, 901, 'lumian')
    await dovi.fill(`/turns/${turn.bookId}/otherwise?as=swap`, { toPlotId: own.id, payer: 'holder' })
    for (const plotId of [own.id, turn.plotId]) {
      const page = await dovi.open('/turns/asked?as=swaps')
      const form = page.html.querySelectorAll('main form').find((one) => one.toString().includes(plotId))!
      const body = { ...hidden(form), given: 'present' }
      await dovi.agent.post(form.getAttribute('action')!).type('form').send(body)
    }
    const consents = await valley.db.selectFrom('swapConsent').select(['entryId', 'plotId']).execute()
    const approve = `/turns/names/swap/${consents.find(({ plotId }) => plotId === turn.plotId)!.entryId}`
    const third = await holderOf(
      (await standing()).find(({ plotId }) => plotId !== turn.plotId && plotId !== own.id)!,
      902,
      'naro',
    )
    const says = async (visitor: Visitor) => visitor.send(await visitor.open('/turns/asked?as=swaps'), {}, approve)
    const seen = await third.open('/turns/asked?as=swaps')
    expect(seen.html.querySelector(`form[action="${approve}"]`)).toBeNull()
    const _csrf = seen.html.querySelector('input[name="_csrf"]')!.getAttribute('value')!
    const form = { _csrf, _form: 'AbCdEfGhIjKlMnOp' }
    expect((await third.agent.post(approve).type('form').send(form)).status).toBe(403)
    expect((await turnOfPlot(turn.plotId, turn.on)).bookId).toBe(turn.bookId)
    expect((await says(lumi)).words).toContain('Agreed by both')
    expect((await standing()).some(({ bookId }) => bookId === turn.bookId)).toBe(false)
  })
})

describe('two consents that one person writes in for two others', () => {
  it('move no turn before another name: nobody else said that either agreed', async () => {
    const dovi = await valley.signIn('dovi')
    const plots = (await standingWeek(valley.db, WEEK))!.inputs.plots
    const others = plots.filter(({ holders }) => !holders.includes('Dovi Marrok') && !holders.includes('Elu Santar'))
    const [to, turn] = await someGift(others.map(({ id }) => id))
    await dovi.fill(`/turns/${turn.bookId}/otherwise?as=swap`, { toPlotId: to, payer: 'holder' })
    const agree = async (plotId: string) => {
      const page = await dovi.open('/turns/asked?as=swaps')
      const form = page.html.querySelectorAll('main form').find((one) => one.toString().includes(plotId))!
      const body = { ...hidden(form), given: 'message' }
      expect((await dovi.agent.post(form.getAttribute('action')!).type('form').send(body)).status).toBe(303)
    }
    await agree(turn.plotId)
    await agree(to)
    const waits = await dovi.open('/turns/asked?as=swaps')
    expect(waits.words).toContain('nobody else says so. It does not count before another person')
    expect(waits.words).not.toContain('Agreed by both')
    expect((await turnOfPlot(turn.plotId, turn.on)).bookId).toBe(turn.bookId)
    const elu = await valley.signIn('elu')
    const page = await elu.open('/turns/asked?as=swaps')
    const form = page.html.querySelector('form[action^="/turns/names/swap/"]')!.getAttribute('action')!
    expect((await elu.send(page, {}, form)).words).toContain('Agreed by both')
  })
})

/** A plot of these, and a turn of another of them that may be given to it. */
async function someGift(plotIds: readonly string[]): Promise<[string, BookedTurn]> {
  for (const to of plotIds) {
    const turn = (await givable(to)).find(({ plotId }) => plotIds.includes(plotId))
    if (turn) return [to, turn]
  }
  throw new Error('no turn that could be given')
}

/** Turns to come that the week lets somebody give to a plot. */
async function givable(toPlotId: string): Promise<BookedTurn[]> {
  const found = []
  for (const turn of (await standing()).filter(({ on, plotId }) => on > VALLEY_TODAY && plotId !== toPlotId)) {
    const swap = { weekStartOn: WEEK, turnId: turn.bookId, otherTurnId: null, toPlotId }
    if ('turns' in (await laidSwap(valley.db, swap))) found.push(turn)
  }
  return found
}

const hidden = (form: Seen['html']) =>
  Object.fromEntries(
    form.querySelectorAll('input[type=hidden]').map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]),
  )
