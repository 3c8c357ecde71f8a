import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { joinHere } from '../../../server/book/joining/join.ts'
import { actOf, TWO_NAME_ACTS, type TwoNameKind } from '../../../server/book/names/acts.ts'
import { hindranceTo } from '../../../server/book/names/approvals.ts'
import { holdersOf } from '../../../server/book/names/household.ts'
import { openDatabase } from '../../../server/database/connection.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { setRoles } from '../../../server/people/person/store.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { Rascal } from '../../faults/nasty.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const WEEK = '/turns/weeks/2026-11-30'
const LOOK = `${WEEK}/publish`
const NAMES = '/turns/names/basis/2026-11-30'
const ALONE = 'You wrote one of these lines alone'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let cousins: string
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  cousins = await plotOf('hila')
})

async function idOf(signInName: string): Promise<string> {
  const row = await valley.db.selectFrom('person').select('entryId').where('signInName', '=', signInName).execute()
  return row[0]!.entryId
}

async function plotOf(signInName: string): Promise<string> {
  const rows = await valley.db
    .selectFrom('plotHolder')
    .select('plotId')
    .where('personId', '=', await idOf(signInName))
    .execute()
  return rows[0]!.plotId
}

const taped = (area: string) => async (who: Visitor) =>
  who.send(await who.open(`/people/plots/${cousins}/change`), { area, fromOn: VALLEY_TODAY })
const larger = taped('2600')

async function published(): Promise<number> {
  const rows = await valley.db
    .selectFrom('publishedWeek')
    .select('entryId')
    .where('weekStartOn', '=', '2026-11-30')
    .execute()
  return rows.length
}

const hasButton = (page: { text: string }, action: string) => page.text.includes(`action="${action}"`)

describe('whoever wrote what parts are reckoned by', () => {
  it('is told so in place of the button, and a form sent past the page publishes nothing', async () => {
    const before = await chair.open(LOOK)
    expect([hasButton(before, LOOK), before.words.includes('alone')]).toEqual([true, false])
    await larger(chair)
    const look = await chair.open(LOOK)
    expect(look.words).toContain(ALONE)
    expect([hasButton(look, LOOK), hasButton(look, NAMES)]).toEqual([false, false])
    const digest = (await (await valley.signIn('besi')).open(LOOK)).html.querySelector('[name=digest]')!
    const rascal = new Rascal(valley.app)
    await rascal.signIn('amaru')
    const refused = await rascal.post(LOOK, { digest: digest.getAttribute('value')! })
    expect([refused.status, refused.text]).toEqual([409, expect.stringContaining('You alone wrote what this week is')])
    expect(refused.text).toContain('2,600 m² now')
    expect((await rascal.post(NAMES, { digest: digest.getAttribute('value')! })).status).toBe(409)
    expect(await published()).toBe(0)
  })

  it('reads which turns somebody called broken down, and who, as long as that is the last word', async () => {
    const turn = (await bookedTurns(valley.db, '2026-11-23'))!.turns.find(
      ({ on, plotId, droppedBy }) => on === VALLEY_TODAY && plotId && !droppedBy && plotId !== cousins,
    )!
    const dovi = await valley.signIn('dovi')
    const became = `/turns/${turn.bookId}/became`
    const say = async (who: Visitor, cause: string) =>
      who.send(await who.open(`/log/days/${VALLEY_TODAY}`), { cause }, became)
    await say(dovi, 'breakdown')
    const told = `${turn.volumeM3.toFixed(1)} m³, called broken down`
    const look = await chair.open(LOOK)
    expect(look.words).toContain(told)
    expect(look.words).toContain('Dovi Marrok')
    expect(hasButton(look, LOOK)).toBe(true)
    // A late excuse that waits for its second name hides nothing.
    const writtenBy = await idOf('dovi')
    await valley.db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy, writtenAt: `${VALLEY_TODAY}T10:00:00.000Z` }
      const excuse = { turnId: turn.bookId, cause: 'excused', standInId: null, words: null }
      await appendEntry(pen, { kind: 'late-excuse' }, { turnOutcome: [excuse] })
    })
    expect((await chair.open(LOOK)).words).toContain(told)
    await say(dovi, 'here')
    expect((await chair.open(LOOK)).words).not.toContain('called broken down')
    await say(chair, 'breakdown')
    const own = await chair.open(LOOK)
    expect([own.words.includes(told), own.words.includes(ALONE), hasButton(own, LOOK)]).toEqual([true, true, false])
  })

  it('reads a draw that was moved to another day, and a turn that was excused afterwards', async () => {
    const dovi = await valley.signIn('dovi')
    const draws = await valley.db
      .selectFrom('abstraction')
      .select(['entryId', 'turnId', 'onDate'])
      .where('plotId', '=', cousins)
      .where('turnId', 'is not', null)
      .orderBy('onDate', 'desc')
      .limit(2)
      .execute()
    const [moved, excused] = [draws[0]!, draws[1]!]
    await dovi.fill(`/log/lines/drawn/${moved.entryId}/correct`, { onDate: '2026-05-02', reason: 'another day' })
    const look = await chair.open(LOOK)
    expect(look.words).toMatch(/a draw of [\d.]+ m³ on \d+ Nov 2026 moved to another day/)
    expect(look.words).toContain('written by Dovi')
    await dovi.fill(`/log/lines/drawn/${excused.entryId}/correct`, { strike: 'yes', reason: 'nobody came' })
    const word = { onDate: excused.onDate, clock: '00:01', through: 'a boy' }
    await dovi.fill(`/turns/${excused.turnId}/otherwise`, word)
    expect((await chair.open(LOOK)).words).toContain('excused when its day was over')
    await chair.send(
      await chair.open(`/log/days/${excused.onDate}`),
      { cause: 'here' },
      `/turns/${excused.turnId}/became`,
    )
    expect((await chair.open(LOOK)).words).not.toContain('excused when its day was over')
    await chair.fill(`/turns/${excused.turnId}/otherwise`, word)
    const own = await chair.open(LOOK)
    expect([own.words.includes(ALONE), hasButton(own, LOOK)]).toEqual([true, false])
  })

  it('is whoever joined a file in which somebody else is said to have written it, until another stands for the joining', async () => {
    const there = openDatabase(await serialized(valley.db))
    const pen = { writtenBy: await idOf('besi'), writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
    const forged = { plotId: await plotOf('amaru'), fromOn: VALLEY_TODAY, persons: 40 }
    await there
      .transaction()
      .execute((trx) => appendEntry({ trx, ...pen }, { kind: 'plot-household' }, { plotHousehold: [forged] }))
    const own = { writtenBy: await idOf('amaru'), writtenAt: `${VALLEY_TODAY}T09:30:00.000Z` }
    await valley.db.transaction().execute((trx) => joinHere({ trx, ...own }, there))
    const look = await chair.open(LOOK)
    expect(look.words).toContain('written by Besi')
    expect(look.words).toContain('brought by another device')
    expect([look.words.includes(ALONE), hasButton(look, LOOK), hasButton(look, NAMES)]).toEqual([true, false, false])
    // Nor does the joiner put the second name under it.
    const { id } = await valley.db
      .selectFrom('entry')
      .select('id')
      .where('kind', '=', 'plot-household')
      .orderBy('seq', 'desc')
      .executeTakeFirstOrThrow()
    const why = (personId: string) => hindranceTo(valley.db, id, { personId, at: `${VALLEY_TODAY}T10:00:00.000Z` })
    expect(await why(own.writtenBy)).toBe('approval-by-the-writer')
    const goro = await valley.signIn('goro')
    expect((await goro.open('/')).words).toContain('A joined book waits for a name')
    const waits = await goro.open('/log/check?as=joined')
    expect(waits.words).toContain('Joined by Amaru')
    const form = waits.html.querySelector('form[action^="/book/names/joined/"]')!
    await goro.send(waits, {}, form.getAttribute('action')!)
    const after = await chair.open(LOOK)
    expect([after.words.includes(ALONE), hasButton(after, LOOK)]).toEqual([false, true])
  })

  it('of whatever kind it is: people, shares, holders, a new plot', async () => {
    const acts: (() => Promise<unknown>)[] = [
      () => chair.fill('/turns/settle/people-of-plot', { plotId: cousins, persons: '9', fromOn: VALLEY_TODAY }),
      async () =>
        chair.send(await chair.open(`/people/plots/${cousins}/change`), { shares: '3', fromOn: VALLEY_TODAY }),
      async () =>
        chair.send(await chair.open(`/people/plots/${cousins}/change?as=holders`), {
          holderIds: [await idOf('hila'), await idOf('isko')],
          fromOn: VALLEY_TODAY,
        }),
    ]
    for (const [at, act] of acts.entries()) {
      await act()
      const { words } = await chair.open(LOOK)
      expect(words).toContain(at === 0 ? ALONE : `You wrote ${at + 1} of these lines alone`)
    }
  })

  it('is held to it for what a need is reckoned by, what counts as received and what was asked for others, too', async () => {
    const seen: string[] = []
    const look = async () => {
      const { words } = await chair.open(LOOK)
      seen.push(/You wrote (one|\d+) of these lines alone/.exec(words)?.[1] ?? 'none')
      return words
    }
    const crop = await chair.open('/crops/new')
    await chair.send(crop, {
      plotId: cousins,
      cropKey: 'kitchen_garden',
      area: '100',
      sownOn: VALLEY_TODAY,
    })
    expect(await look()).toContain('a crop of 100 m² sown on')
    await chair.fill('/people/settle/received-before', { plotId: cousins, untilOn: '2026-07-01', volume: '0' })
    expect(await look()).toContain('received before the book: 0 m³')
    const others = await plotOf('besi')
    await chair.fill('/turns/ask', { plotId: others, weekStartOn: '2026-11-30', volume: '0.5' })
    expect(await look()).toContain('asked for in the holder’s name: 0.5 m³')
    // Hours that cannot be, beside hours that are wished for.
    const hours = { wishedFrom: '14:00', wishedTo: '16:00', cannotFrom: '06:00', cannotTo: '12:00' }
    await chair.fill('/turns/ask', { plotId: others, weekStartOn: '2026-11-30', volume: '', ...hours })
    expect(await look()).toContain('hours that cannot be, asked for in the holder’s name')
    const { entryId, openingM3 } = await valley.db
      .selectFrom('abstraction')
      .selectAll()
      .where('plotId', '=', cousins)
      .where('openingM3', 'is not', null)
      .orderBy('onDate', 'desc')
      .executeTakeFirstOrThrow()
    const less = { closing: String(openingM3! + 0.5), reason: 'was less' }
    await chair.fill(`/log/lines/drawn/${entryId}/correct`, less)
    expect(await look()).toContain('put right')
    await chair.fill(`${WEEK}/compare`, { rule: 'proportional', reason: 'so it seemed fair' })
    expect(await look()).toContain('the rule for this week was picked by hand')
    expect(seen).toEqual(['one', '2', '3', '3', '4', '5'])
    const besi = await valley.signIn('besi')
    expect((await besi.open(LOOK)).words).not.toContain('You wrote')
    // What was cut of his own plot is not his to name, so one line stays the chair's alone.
    await besi.send(await besi.open(LOOK), {}, NAMES)
    await look()
    const goro = await valley.signIn('goro')
    await goro.send(await goro.open(LOOK), {}, NAMES)
    await chair.send(await chair.open(LOOK), {}, LOOK)
    expect([seen.at(-1), await published()]).toEqual(['one', 1])
  })

  it('is held to it for a setting for all, told by its name, and for hours kept free for others, not for own ones', async () => {
    const own = await chair.open('/people/settle/hours')
    const amaru = await idOf('amaru')
    const hours = { weekday: '2', fromTime: '08:00', toTime: '12:00', words: 'market', fromOn: VALLEY_TODAY }
    await chair.send(own, { ...hours, personId: amaru })
    expect((await chair.open(LOOK)).words).not.toContain('You wrote')
    await chair.fill('/people/settle/hours', { ...hours, personId: await idOf('hila') })
    const look = await chair.open(LOOK)
    expect(look.words).toContain('hours without turns written or struck out for its holder, from 25 Nov 2026')
    await chair.fill('/crops/settle/most-turns', { turns: '3', fromOn: VALLEY_TODAY })
    await chair.fill('/crops/settle/salt', { percent: '10', fromOn: VALLEY_TODAY })
    const { words } = await chair.open(LOOK)
    expect(words).toContain('the most turns a week: settled anew')
    expect(words).toContain('the part that washes salt down: settled anew')
    const goro = await valley.signIn('goro')
    await goro.send(await goro.open(LOOK), {}, NAMES)
    await chair.send(await chair.open(LOOK), {}, LOOK)
    expect(await published()).toBe(1)
  })

  it('reads a tick on the list of a pump that nothing in the log bears out', async () => {
    const { plotId, pumpId } = await valley.db
      .selectFrom('abstraction')
      .select(['plotId', 'pumpId'])
      .where('onDate', '=', '2026-11-24')
      .where('plotId', 'is not', null)
      .executeTakeFirstOrThrow()
    const pen = { writtenBy: await idOf('amaru'), writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    const tick = (onDate: string) =>
      valley.db.transaction().execute((trx) => {
        const row = { pumpId: pumpId!, plotId: plotId!, onDate }
        return appendEntry({ trx, ...pen }, { kind: 'turn-list-served' }, { turnListServed: [row] })
      })
    await tick('2026-11-24')
    expect((await chair.open(LOOK)).words).not.toContain('ticked on the list')
    await tick(VALLEY_TODAY)
    const look = await chair.open(LOOK)
    expect(look.words).toContain('ticked on the list of its pump on 25 Nov 2026, with nothing in the log')
    expect([look.words.includes(ALONE), hasButton(look, LOOK)]).toEqual([true, false])
  })

  it('reads each setting for all in words', async () => {
    const pen = { writtenBy: await idOf('amaru'), writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    // By the readings of a new meter no part is reckoned.
    const told = [
      'sharing-rule',
      'week-rule',
      'own-crop',
      'no-turn-hours',
      'no-turn-custom',
      'turn-list-served',
      'pump-meter',
      'week-sky',
      'weather-day',
      'gauge-rain',
      'level-reading',
    ]
    const kinds = (Object.keys(TWO_NAME_ACTS) as TwoNameKind[]).filter((kind) => {
      const { holdsAtOnce, concerned } = actOf(kind)
      return holdsAtOnce && !concerned && !told.includes(kind)
    })
    for (const kind of kinds) await valley.db.transaction().execute((trx) => appendEntry({ trx, ...pen }, { kind }, {}))
    const look = await chair.open(LOOK)
    expect(look.words.match(/[a-z][^;:+]*: settled anew/g)).toHaveLength(kinds.length)
    expect(look.words).not.toContain('layout.settled')
  })

  it('is held to it for water that a change by hand gives or takes, and not for an hour that it moves', async () => {
    const group = (await currentGroup(valley.db))!
    const asked = { group, weekStartOn: '2026-11-30', today: VALLEY_TODAY }
    const { inputs, results } = (await shownWeek(valley.db, answers.rotation, asked))!
    const free = results.turns.filter(({ plotId }) => !inputs.turnFacts!.officerPlotIds.includes(plotId))
    const change = async (turn: (typeof free)[number], typed: Record<string, string>) =>
      chair.fill(`${WEEK}/change?turn=${encodeURIComponent(turn.id)}`, { ...typed, reason: 'he asked me' })
    for (const turn of free) {
      const start = `${String(Math.floor(turn.startMinute / 60)).padStart(2, '0')}:${String((turn.startMinute + 5) % 60).padStart(2, '0')}`
      if ((await change(turn, { kind: 'move', start })).path === WEEK) break
    }
    expect((await chair.open(LOOK)).words).toMatch(/One change by hand(?!.*You wrote)/)
    await change(free.at(-1)!, { kind: 'drop' })
    const look = await chair.open(LOOK)
    expect([look.words.includes(ALONE), hasButton(look, LOOK)]).toEqual([true, false])
    const rascal = new Rascal(valley.app)
    await rascal.signIn('amaru')
    const digest = look.html.querySelector('[name=digest]')?.getAttribute('value')
    const goro = await valley.signIn('goro')
    const his = await goro.open(LOOK)
    const raw = digest ?? his.html.querySelector('[name=digest]')!.getAttribute('value')!
    expect((await rascal.post(LOOK, { digest: raw })).status).toBe(409)
    await goro.send(his, {}, NAMES)
    await chair.send(await chair.open(LOOK), {}, LOOK)
    expect(await published()).toBe(1)
  })

  it('does not keep another of the committee from publishing it', async () => {
    await larger(chair)
    const besi = await valley.signIn('besi')
    const look = await besi.open(LOOK)
    expect(look.words).not.toContain('You wrote')
    expect(look.words).toContain('written by Amaru')
    await besi.send(look, {}, LOOK)
    expect(await published()).toBe(1)
  })

  it('publishes once another officer has looked and put a name under it, and not when more was written since', async () => {
    await larger(chair)
    const fanta = await valley.signIn('fanta')
    const draft = await fanta.open(WEEK)
    expect(hasButton(await fanta.open(LOOK), LOOK)).toBe(false)
    expect(draft.text).toContain(`href="${LOOK}"`)
    const stale = await fanta.open(LOOK)
    await taped('2700')(chair)
    expect((await fanta.send(stale, {}, NAMES)).status).toBe(409)
    const named = await fanta.send(await fanta.open(LOOK), {}, NAMES)
    expect(named.words).toContain('second name: Fanta')
    await taped('2800')(chair)
    expect((await chair.open(LOOK)).words).toContain(ALONE)
    await fanta.send(await fanta.open(LOOK), {}, NAMES)
    await chair.send(await chair.open(LOOK), {}, LOOK)
    expect(await published()).toBe(1)
  })

  it('finds no second name with whoever lives from that plot, nor with a member while there are other officers', async () => {
    cousins = await plotOf('dovi')
    expect(await holdersOf(valley.db, cousins, VALLEY_TODAY)).toContain(await idOf('dovi'))
    await larger(chair)
    for (const name of ['dovi', 'hila']) {
      const rascal = new Rascal(valley.app)
      await rascal.signIn(name)
      const look = await (await valley.signIn(name)).open(LOOK)
      expect([name, look.status, hasButton(look, NAMES)]).toEqual([name, 200, false])
      const digest = (await (await valley.signIn('besi')).open(LOOK)).html.querySelector('[name=digest]')!
      expect((await rascal.post(NAMES, { digest: digest.getAttribute('value')! })).status).toBe(409)
    }
    expect(
      await valley.db
        .selectFrom('approval')
        .innerJoin('entry', 'entry.id', 'approval.subjectId')
        .select('entry.id')
        .where('entry.kind', '=', 'plot-detail')
        .execute(),
    ).toEqual([])
  })

  it('is served by a member’s name where nobody else holds an office', async () => {
    const pen = { writtenBy: await idOf('amaru'), writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    for (const name of ['besi', 'chandu', 'dovi', 'elu', 'fanta', 'goro']) {
      const id = await idOf(name)
      await valley.db.transaction().execute((trx) => setRoles({ trx, ...pen }, id, ['member'], VALLEY_TODAY))
    }
    await larger(chair)
    cousins = await plotOf('besi')
    await larger(chair)
    const hila = await valley.signIn('hila')
    await hila.send(await hila.open(LOOK), {}, NAMES)
    const look = await chair.open(LOOK)
    // Her own plot is not hers to name.
    expect(look.words).toContain(ALONE)
    const goro = await valley.signIn('goro')
    await goro.send(await goro.open(LOOK), {}, NAMES)
    expect((await chair.open(LOOK)).words).not.toContain('You wrote')
  })

  it('does not leave a book without its week in which nobody else signs in', async () => {
    const pen = { writtenBy: await idOf('amaru'), writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    for (const name of ['besi', 'chandu', 'dovi', 'elu', 'fanta', 'goro', 'hila']) {
      const id = await idOf(name)
      await valley.db.transaction().execute((trx) => setRoles({ trx, ...pen }, id, ['neighbour'], VALLEY_TODAY))
    }
    await larger(chair)
    const look = await chair.open(LOOK)
    expect(look.words).toContain('2,600 m² now')
    await chair.send(look, {}, LOOK)
    expect(await published()).toBe(1)
  })
})
