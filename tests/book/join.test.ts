import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { addAbstraction, type NewAbstraction } from '../../server/abstractions/draw/store.ts'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { joinHere } from '../../server/book/joining/join.ts'
import { listClashes, openClashes } from '../../server/book/merge/clash-store.ts'
import { endOfBook, verifyBook } from '../../server/book/verify.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { postFees } from '../../server/fees/fixed-fee/store.ts'
import { openMemberAccount } from '../../server/fees/ledger/account-store.ts'
import { setTariff } from '../../server/fees/tariff/store.ts'
import { writeVoucher } from '../../server/fees/voucher/store.ts'
import { hashPassword } from '../../server/people/password.ts'
import { addPerson, passwordHashOf, rolesOf, setPassword, setRoles } from '../../server/people/person/store.ts'
import { type Warning, writeAppeal, writeWarning } from '../../server/people/warning/store.ts'
import { addBooking } from '../../server/rotation/booking/store.ts'
import { setOutletPair } from '../../server/rotation/constraint/line-store.ts'
import { addOutcome } from '../../server/rotation/outcome/store.ts'
import { addAmendment } from '../../server/rotation/published/amendment-store.ts'
import { findPublishedWeek } from '../../server/rotation/published/store.ts'
import { addConsent } from '../../server/rotation/swap/consent-store.ts'
import { addSwap } from '../../server/rotation/swap/store.ts'
import { addOutlet } from '../../server/works/pump/store.ts'
import { abstractionsBook, addTurn, addTurns, TODAY } from '../abstractions/book.ts'
import { OWN_GROUP, openBook, startedBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'
import type { Visitor } from '../support/visitor.ts'
import { joined, slip } from './devices.ts'

const PASSWORD = 'one more long word'
let base: Buffer
let ids: Awaited<ReturnType<typeof abstractionsBook>>
let turnId: string

beforeAll(async () => {
  ids = await abstractionsBook()
  const besi = { number: '8', name: 'Besi', signInName: 'besi', phone: '', password: PASSWORD }
  const ada = ids.visitor()
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
  await ada.fill('/people/new', { ...besi, roles: ['committee'] })
  // Besi has chosen a password of their own before the two devices part.
  await ids.visitor().fill('/sign-in', { signInName: besi.signInName, password: PASSWORD })
  turnId = await ids.writing((pen) => addTurn(pen, ids))
  base = await serialized(ids.db)
})

const pen = <T>(db: Database, work: (pen: Pen) => Promise<T>, hour = 15) =>
  db.transaction().execute((trx) => work({ trx, writtenBy: ids.adaId, writtenAt: `2026-06-11T${hour}:00:00.000Z` }))

/** This device with its app and two officers at it, and the other one's file. */
async function twoDevices(bytes = base) {
  const here = await openBook('2026-06-11T18:00:00Z', bytes)
  const signedIn = async (signInName: string, password: string) => {
    const visitor = here.visitor()
    await visitor.fill('/sign-in', { signInName, password })
    return visitor
  }
  return {
    ...here,
    ada: await signedIn('ada', OWN_GROUP.password),
    besi: await signedIn('besi', PASSWORD),
    signedIn,
    there: openDatabase(bytes),
  }
}

/** Brings the file and looks at what it would bring. */
async function bring(ada: Visitor, bytes: Buffer) {
  const form = (await ada.open('/book/join')).html.querySelector('main form')!
  const keyed = (name: string) => form.querySelector(`[name=${name}]`)!.getAttribute('value')!
  const answer = await ada.agent
    .post('/book/join?as=look')
    .field('_csrf', keyed('_csrf'))
    .field('_form', keyed('_form'))
    .attach('book', bytes, 'other.sqlite')
  return ada.read(answer, '/book/join?as=look')
}

const DOOR = 'form[action^="/book/names/join/"]'

async function ask(ada: Visitor, there: Database) {
  const preview = await bring(ada, await serialized(there))
  return { preview, after: await ada.send(preview, {}, '/book/join') }
}

/** The status of a form that no page offers. */
async function postedBare(visitor: Visitor, action: string) {
  const form = (await visitor.open('/')).html.querySelector('form [name=_csrf]')!
  const body = { _csrf: form.getAttribute('value')!, _form: action }
  return (await visitor.agent.post(action).type('form').send(body)).status
}

/** Brought by one officer, joined by another. */
async function join({ ada, besi }: { ada: Visitor; besi: Visitor }, there: Database) {
  const { preview } = await ask(ada, there)
  const waits = await besi.open('/log/check?as=joined')
  return { preview, after: await besi.send(waits, {}, waits.html.querySelector(DOOR)!.getAttribute('action')!) }
}

const draw = (): NewAbstraction => ({
  ...{ onDate: TODAY, use: 'irrigation', weirId: ids.weirId, pumpId: ids.pumpId, outletId: ids.outletId },
  ...{ plotId: ids.plotId, turnId: null, takerId: null, method: 'meter', openingM3: 10, closingM3: 12, hours: null },
  ...{ flowM3PerH: null, startTime: '08:00', endTime: '09:00', volumeM3: 2, uncertaintyM3: 0.1, grade: 'measured' },
  remark: null,
})

/** A booking of the same pump and the hours from one till three. */
const book = (p: Pen) =>
  addBooking(p, {
    weekStartOn: '2026-06-08',
    turn: {
      ...{ id: 'x', claimId: ids.plotId, plotId: ids.plotId, outletId: ids.outletId, pumpId: ids.pumpId, on: TODAY },
      ...{ order: 1, startMinute: 780, endMinute: 900, volumeM3: 4, hours: 2, burdens: [] },
    },
    reason: 'booked',
    forPersonId: null,
  })

const movedTo = (startMinute: number) => ({
  turnChange: [
    {
      ...{ weekStartOn: '2026-06-08', stage: 'published', kind: 'move', turnId, plotId: ids.plotId },
      ...{ outletId: ids.outletId, wasOn: TODAY, onDate: TODAY, startMinute, volumeM3: 4 },
    },
  ],
})

const move = (startMinute: number) => (p: Pen) =>
  appendEntry(p, { kind: 'turn-amendment', reason: 'moved' }, movedTo(startMinute))

const swap = (p: Pen) =>
  addSwap(p, { weekStartOn: '2026-06-08', turnId, otherTurnId: null, toPlotId: ids.plotId, payer: 'taker' })

describe('joining in the book of another device', () => {
  it('shows what it would bring, writes nothing before, and makes the book that the command makes', async () => {
    const { ada, besi, db, there } = await twoDevices()
    await pen(
      db,
      (p) => addAbstraction(p, { ...draw(), startTime: '06:00', endTime: '07:00', openingM3: 90, closingM3: 92 }),
      17,
    )
    await pen(there, (p) => addAbstraction(p, draw()), 16)
    const [before, command] = [await endOfBook(db), await joined(openDatabase(await serialized(db)), there)]
    const { preview, after } = await join({ ada, besi }, there)
    expect(preview.words).toMatch(/1 only here, 1 only in the other/)
    expect(before.entries).toBe(command.merge.entries - 1)
    expect(after.path).toBe('/log/check?as=joined')
    const last = await db
      .selectFrom('entry')
      .select(['kind', 'hash', 'writtenBy'])
      .orderBy('seq', 'desc')
      .limit(3)
      .execute()
    expect(last.map(({ kind }) => kind).slice(0, 2)).toEqual(['approval', 'book-joined'])
    expect([last[1]!.writtenBy === ids.adaId, last[0]!.writtenBy === ids.adaId]).toEqual([true, false])
    expect(last[2]!.hash).toBe(command.merge.lastHash)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    await expect(db.deleteFrom('abstraction').execute()).rejects.toThrow('append-only')
    expect((await bring(ada, await serialized(there))).words).toContain('has nothing that is not here')
  })

  it('refuses what is no book, another group and a changed book with a sentence, and leaves this one as it was', async () => {
    const { ada, db, there } = await twoDevices()
    const before = await endOfBook(db)
    expect((await bring(ada, Buffer.from('not a book'))).words).toContain('not the file of a book')
    const torn = await serialized(there)
    // Half of its pages are lost, as of a file that a broken stick gives back.
    torn.fill(0, torn.length / 2)
    expect((await bring(ada, torn)).words).toContain('The file of this book is damaged and cannot be read to its end.')
    const stranger = await startedBook()
    expect((await bring(ada, await serialized(stranger.db))).status).toBe(422)
    await sql`drop trigger person_no_update`.execute(there)
    await there.updateTable('person').set({ name: 'Somebody' }).where('name', '=', 'Bela').execute()
    expect((await bring(ada, await serialized(there))).words).toContain('was changed outside the app')
    expect(await endOfBook(db)).toEqual(before)
  })

  it.each([
    [
      'a turn moved on both',
      'same-turn',
      /kind: move; turn: 11 Jun 2026 08:00, Plot 7; plot 7; outlet 3; .*start: 13:00.*kind: move; .*start: 14:00/,
      move(780),
      move(840),
    ],
    ['the same hour booked on both', 'same-hour', /A turn \(.*plot \d.*A turn \(/, book, book],
    [
      'a no-show on one and a draw for it on the other',
      'same-turn',
      /Said of a turn.*, Plot \d+; cause: not taken, without word.*9 m³/,
      (p: Pen) => addOutcome(p, { turnId, cause: 'no-show', standInId: null, words: null, forPersonId: null }),
      (p: Pen) => addAbstraction(p, { ...draw(), turnId, volumeM3: 9 }),
    ],
    [
      'one slip number twice',
      'same-slip',
      /slip 31.*slip 31/,
      (p: Pen) => addAbstraction(p, { ...draw(), more: slip(31) }),
      (p: Pen) =>
        addAbstraction(p, {
          ...draw(),
          startTime: '15:00',
          endTime: '16:00',
          openingM3: 70,
          closingM3: 72,
          more: slip(31),
        }),
    ],
    ['two swaps of one turn', 'same-turn', /A swap of turns.*A swap of turns/, swap, swap],
  ])('leaves %s to settle, and says so on the first page and at the turn', async (_name, kind, told, ours, theirs) => {
    const { ada, besi, db, there } = await twoDevices()
    await pen(db, ours, 16)
    await pen(there, theirs, 17)
    await join({ ada, besi }, there)
    expect((await openClashes(db)).map((clash) => clash.kind)).toEqual([kind])
    expect((await besi.open('/')).words).toContain('One thing that two devices wrote differently')
    expect((await besi.open('/log/check?as=joined')).words).toMatch(told)
    const sheet = await besi.open(`/log/days/${TODAY}`)
    if (kind !== 'same-slip') expect(sheet.words).toContain('Two devices say different things about this turn')
    const [clash] = await listClashes(db)
    const [first, second] = clash!.entryIds
    await besi.fill(`/log/settle/clash/${kind}/${first}/${second}`, { words: 'the first holds' })
    expect((await besi.open(`/log/days/${TODAY}`)).words).not.toContain('Two devices say')
    expect((await besi.open('/')).words).not.toContain('wrote differently')
  })

  it('tells what is said against a warning on two devices to whoever hears such matters, and to nobody else', async () => {
    const both = openDatabase(base)
    const heard = {
      rule: 'r',
      fact: 'f',
      heardOn: TODAY,
      hearing: 'h',
      body: 'committee',
      lapseOn: '2026-12-01',
    } as const
    const ground = { rule: null, named: 'word', reason: null, minute: null } as const
    const id = await pen(both, (p) => writeWarning(p, { ...heard, personId: ids.belaId, step: 'word' }, ground), 13)
    const odo = { number: 9, name: 'Odo', phone: null, signInName: 'odo', roles: ['attendant'] } as const
    await pen(
      both,
      async (p) => addPerson(p, { ...odo, roles: [...odo.roles], passwordHash: await hashPassword(PASSWORD) }, TODAY),
      14,
    )
    const { ada, besi, db, there, signedIn } = await twoDevices(await serialized(both))
    const warning = { id, personId: ids.belaId } as Warning
    const appeal = (words: string) => (p: Pen) => writeAppeal(p, warning, { toBody: 'elders', words })
    await pen(db, appeal('his uncle hates us'), 16)
    await pen(there, appeal('the valve was broken'), 17)
    await join({ ada, besi }, there)
    expect((await ada.open('/log/check?as=joined')).words).toMatch(/his uncle.*valve was broken/)
    const seen = (await (await signedIn('odo', PASSWORD)).open('/log/check?as=joined')).words
    expect(seen).toContain('An appeal against a warning')
    expect(seen).not.toMatch(/uncle|broken/)
  })

  it('tells two draws at one meter by pump and readings, as they were written where not both have a slip, and two sticks in a tank', async () => {
    const both = openDatabase(base)
    const tank = { number: 4, name: 'Hill', pumpId: ids.pumpId, areaM2: 4, heightM: 2 }
    const tankId = await pen(both, (p) => appendEntry(p, { kind: 'tank' }, { tank: [tank] }), 13)
    const { ada, besi, db, there } = await twoDevices(await serialized(both))
    const stick = (levelM: number) => (p: Pen) => {
      const row = { tankId, onDate: TODAY, moment: 'dawn', levelM, atTime: '06:00' }
      const head = { kind: 'tank-reading', happenedAt: `${TODAY}T03:00:00.000Z` }
      return appendEntry(p, head, { tankReading: [row] } as never)
    }
    const atPump = (more: object, slipNo?: number) => (p: Pen) => {
      const bare = { ...draw(), use: 'drinking' as const, outletId: null, plotId: null, ...more }
      return addAbstraction(p, slipNo === undefined ? bare : { ...bare, more: slip(slipNo) })
    }
    await pen(db, stick(1.25), 16)
    await pen(there, stick(1.3), 17)
    await pen(db, atPump({ startTime: '06:00', endTime: '07:00' }, 71), 16)
    await pen(there, atPump({ openingM3: 11, closingM3: 13, startTime: '10:00', endTime: '11:00' }), 17)
    await join({ ada, besi }, there)
    const page = await ada.open('/log/check?as=joined')
    expect(page.words).toMatch(/level 125 cm.*level 130 cm/)
    expect(page.words).toMatch(/Pump 1.*10.*12.*Pump 1.*11.*13/)
    expect(page.words).toContain('Proposed order: as they were written')
  })

  it('tells what a mending cost that two devices wrote to whoever sees such costs, and to no neighbour', async () => {
    const both = openDatabase(base)
    const fault = { pumpId: ids.pumpId, foundOn: TODAY, what: 'cable', stopsPump: 0 }
    const faultId = await pen(both, (p) => appendEntry(p, { kind: 'fault' }, { fault: [fault] }), 13)
    const odo = { number: 9, name: 'Odo', phone: null, signInName: 'odo', roles: ['neighbour'] }
    await pen(both, async (p) => addPerson(p, { ...odo, passwordHash: await hashPassword(PASSWORD) }, TODAY), 14)
    const { ada, besi, db, there, signedIn } = await twoDevices(await serialized(both))
    const mending = (costMinor: number) => (p: Pen) =>
      appendEntry(
        p,
        { kind: 'fault-fix' },
        {
          faultFix: [{ faultId, fixedOn: TODAY, cause: 'worn', daysLost: 0, spares: null, costMinor, voucher: 'V77' }],
        },
      )
    await pen(db, mending(183_000), 16)
    await pen(there, mending(185_000), 17)
    await join({ ada, besi }, there)
    const told = (page: { words: string }) => page.words.replace(/\s+/g, ' ')
    expect(told(await ada.open('/log/check?as=joined'))).toMatch(/1,830.*V77.*1,850.*V77/)
    const seen = told(await (await signedIn('odo', PASSWORD)).open('/log/check?as=joined'))
    expect(seen).toContain('worn')
    expect(seen).not.toMatch(/1,8[35]0|V77/)
  })

  it('tells two vouchers of one number to whoever sees the accounts, and what is no money to a neighbour too', async () => {
    const both = openDatabase(base)
    const outletBId = await pen(both, (p) => addOutlet(p, { number: 4, name: 'End', pumpId: ids.pumpId }), 13)
    const odo = { number: 9, name: 'Odo', phone: null, signInName: 'odo', roles: ['neighbour'] }
    await pen(both, async (p) => addPerson(p, { ...odo, passwordHash: await hashPassword(PASSWORD) }, TODAY), 14)
    const { ada, besi, db, there, signedIn } = await twoDevices(await serialized(both))
    const voucher = {
      purpose: 'gland',
      category: 'repairs',
      column: 'cash',
      amountMinor: 8300,
      invoice: 'bill',
    } as const
    const written = (payee: string, together: boolean) => async (p: Pen) => {
      await writeVoucher(p, { ...voucher, payee } as never)
      await setOutletPair(p, { outletIds: [ids.outletId, outletBId], fromOn: TODAY, together })
    }
    await pen(db, written('the smith', false), 16)
    await pen(there, written('the mason', true), 17)
    await join({ ada, besi }, there)
    const told = async (visitor: Visitor) => (await visitor.open('/log/check?as=joined')).words
    expect(await told(ada)).toMatch(/the smith.*KES 83.*the mason.*KES 83/)
    const seen = await told(await signedIn('odo', PASSWORD))
    expect(seen).toMatch(/may be open together: no.*may be open together: yes/)
    expect(seen).toMatch(/A voucher .* by Ada.*A voucher .* by Ada/)
    expect(seen).not.toMatch(/the smith|the mason|gland|83/)
  })

  it('lets a gap in what was brought be settled by another officer than whoever joined it alone', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const brought = (work: (p: Pen) => Promise<string>) =>
      there.transaction().execute((trx) => work({ trx, writtenBy: ids.belaId, writtenAt: '2026-06-11T16:00:00.000Z' }))
    await brought((p) => addAbstraction(p, draw()))
    const later = { startTime: '10:00', endTime: '11:00', openingM3: 20, closingM3: 22 }
    const gapId = await brought((p) => addAbstraction(p, { ...draw(), ...later }))
    await pen(db, (p) => joinHere(p, there), 18)
    const at = `/log/settle/odd/${gapId}/gap-to-last-reading`
    const refused = await ada.fill(at, { words: 'air in the pipe' })
    expect([refused.status, refused.words]).toEqual([422, expect.stringContaining('somebody else settles it')])
    expect((await besi.fill(at, { words: 'air in the pipe' })).status).toBe(200)
  })

  it('joins a fee that both devices charged, for somebody to take one back, and a consent that both wrote in', async () => {
    const both = openDatabase(base)
    const flat = { kind: 'flat', priceMinor: 2000, every: 'season' } as const
    const tariffId = await pen(
      both,
      (p) => setTariff(p, { fromOn: '2026-06-01', perM3Minor: 0, drinkingFree: true, parts: [flat] }),
      13,
    )
    await pen(both, (p) => openMemberAccount(p, ids.belaId), 13)
    const named = { approval: [{ subjectId: tariffId }] }
    await pen(both, (p) => appendEntry({ ...p, writtenBy: ids.belaId }, { kind: 'approval' }, named), 13)
    const swapId = await pen(both, swap, 14)
    const { ada, besi, db, there } = await twoDevices(await serialized(both))
    const written = async (p: Pen) => {
      await postFees(p, { toOn: TODAY, onDate: TODAY, words: () => 'fee of the season' })
      const consent = { swapId, plotId: ids.plotId, personId: ids.belaId, given: 'present' } as const
      await addConsent(p, { ...consent, needsName: false })
    }
    await pen(db, written, 16)
    await pen(there, written, 17)
    expect((await join({ ada, besi }, there)).after.words).toContain('A charge by month or season')
    const fees = await db.selectFrom('fixedFee').select('accountId').execute()
    expect([fees.length, new Set(fees.map(({ accountId }) => accountId)).size]).toEqual([2, 1])
    expect(await db.selectFrom('swapConsent').select('plotId').execute()).toHaveLength(2)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    // On one device either is written once, as ever.
    await expect(
      pen(
        db,
        (p) => addConsent(p, { swapId, plotId: ids.plotId, personId: ids.belaId, given: null, needsName: false }),
        18,
      ),
    ).rejects.toThrow('given already')
  })

  it('settles the one of several pairs of slips that was meant, and leaves the others', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const slips = (hour: number, numbers: number[]) => async (p: Pen) => {
      for (const [at, no] of numbers.entries())
        await addAbstraction(p, {
          ...draw(),
          ...{ startTime: `${hour + at}:00`, endTime: `${hour + at}:30` },
          ...{ openingM3: 10 * hour + 2 * at, closingM3: 10 * hour + 2 * at + 2, more: slip(no) },
        })
    }
    await pen(db, slips(10, [31, 32]), 16)
    await pen(there, slips(12, [31, 31, 32]), 17)
    await join({ ada, besi }, there)
    const pairs = (await openClashes(db)).map(({ kind, entryIds }) => `${kind}/${entryIds.join('/')}`)
    expect(pairs.map((pair) => pair.split('/')[0])).toEqual(['same-slip', 'same-slip', 'same-slip'])
    const settled: string[] = []
    for (const meant of pairs.toReversed()) {
      await besi.fill(`/log/settle/clash/${meant}`, { words: 'one is a copy' })
      settled.push(meant)
      const now = (await listClashes(db)).filter((clash) => clash.settled)
      expect(now.map(({ kind, entryIds }) => `${kind}/${entryIds.join('/')}`).toSorted()).toEqual(settled.toSorted())
    }
  })

  it('holds a week that both published open until every turn of one of them was taken off', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const week = { on: '2026-06-18', weekStartOn: '2026-06-15' }
    const turns = await pen(db, (p) => addTurns(p, ids, [480, 660], week), 16)
    await pen(there, (p) => addTurns(p, ids, [500, 680], week), 17)
    await join({ ada, besi }, there)
    const open = []
    for (const id of turns) {
      const gone = { kind: 'drop', plotId: ids.plotId, outletId: ids.outletId, wasOn: week.on, reason: 'rain' } as const
      const change = { ...gone, on: null, startMinute: null, volumeM3: null }
      await pen(db, (p) => addAmendment(p, { weekStartOn: week.weekStartOn, turnId: id, change, turn: null }), 18)
      open.push((await openClashes(db)).filter(({ kind }) => kind === 'same-week-published').length)
    }
    expect(open).toEqual([1, 0])
  })

  it.each([
    ['1849-12-31', false],
    ['1850-01-01', true],
    ['2150-12-31', true],
    ['2151-01-01', false],
  ])('with a day of %s is read: %s', async (onDate, isRead) => {
    const { ada, there } = await twoDevices()
    await pen(
      there,
      (p) => appendEntry(p, { kind: 'weather-day' }, { weatherDay: [{ onDate, rainMm: 0 }] } as never),
      16,
    )
    const page = await bring(ada, await serialized(there))
    expect(page.words.includes('a day or moment that cannot be')).toBe(!isRead)
  })

  it('refuses a book of an older version that names a turn as this one does', async () => {
    const { ada, db, there } = await twoDevices()
    await pen(db, (p) => addTurn(p, ids, '2026-06-18', '2026-06-15'), 16)
    const { entryId: _week, ...week } = await db
      .selectFrom('publishedWeek')
      .selectAll()
      .where('weekStartOn', '=', '2026-06-15')
      .executeTakeFirstOrThrow()
    const { entryId: _turn, ...turn } = await db
      .selectFrom('turn')
      .selectAll()
      .where('onDate', '=', '2026-06-18')
      .executeTakeFirstOrThrow()
    await pen(there, (p) => appendEntry(p, { kind: 'published-week' }, { publishedWeek: [week], turn: [turn] }), 17)
    const refused = await bring(ada, await serialized(there))
    expect(refused.html.querySelector('#book-error')?.text).toContain(
      `Both books have brought in a turn named ${turn.id}, and the log could not tell them apart.`,
    )
    expect(await db.selectFrom('bookJoined').selectAll().execute()).toEqual([])
  })

  it('joins nothing of a file, whoever wrote it, before another officer read what it brings and joined it too', async () => {
    const { ada, besi, db, there, signedIn } = await twoDevices()
    await pen(there, (p) => setPassword(p, ids.belaId, 'hash of another device'))
    await pen(there, (p) => setRoles(p, ids.belaId, ['treasurer'], TODAY))
    await pen(there, (p) => addAbstraction(p, draw()), 16)
    const before = await endOfBook(db)
    const { preview, after } = await ask(ada, there)
    expect(preview.words).toContain('Ask another officer to join it')
    expect(after.words).toMatch(/You brought it.*kept until 12 Jun 2026/)
    expect(after.html.querySelector(DOOR)).toBeNull()
    const waits = await besi.open('/log/check?as=joined')
    expect((await besi.open('/')).words).toContain('Ada brought the book of another device')
    expect((await ada.open('/')).words).not.toContain('brought the book of another device')
    expect(waits.words).toMatch(/A password for Bela.*Offices of Bela: treasurer/)
    const action = waits.html.querySelector(DOOR)!.getAttribute('action')!
    // The one who brought it does not take the other's part, by whatever address, nor does a member where officers are.
    expect(await postedBare(ada, action)).toBe(403)
    expect(await postedBare(ada, '/book/names/join/another')).toBe(404)
    await ada.send(preview, { _form: 'another' }, '/book/join')
    expect(await endOfBook(db)).toEqual(before)
    const odo = { number: 9, name: 'Odo', phone: null, signInName: 'odo', roles: ['member'] }
    await pen(db, async (p) => addPerson(p, { ...odo, passwordHash: await hashPassword(PASSWORD) }, TODAY), 17)
    expect(await postedBare(await signedIn('odo', PASSWORD), action)).toBe(403)
    expect(await rolesOf(db, ids.belaId, TODAY)).toEqual(['member'])
    await besi.send(waits, {}, action)
    expect(await passwordHashOf(db, ids.belaId)).toBe('hash of another device')
    expect(await rolesOf(db, ids.belaId, TODAY)).toEqual(['treasurer'])
    const told = await besi.open('/log/check?as=joined')
    expect(told.html.querySelector(DOOR)).toBeNull()
    expect(told.words).not.toContain('never joined')
  })

  it('tells every name and office that a file brings, also where one entry has several', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const tariff = { perM3Minor: 0, drinkingFree: true } as const
    const both = await pen(there, async (p) => [
      { subjectId: await setTariff(p, { ...tariff, fromOn: '2026-07-01' }) },
      { subjectId: await setTariff(p, { ...tariff, fromOn: '2026-08-01' }) },
    ])
    await pen(there, (p) => appendEntry({ ...p, writtenBy: ids.belaId }, { kind: 'approval' }, { approval: both }))
    const offices = [
      { personId: ids.belaId, role: 'treasurer', fromOn: TODAY },
      { personId: ids.belaId, role: 'member', fromOn: TODAY },
      { personId: ids.adaId, role: 'auditor', fromOn: TODAY },
    ]
    await pen(there, (p) => appendEntry(p, { kind: 'roles' }, { personRole: offices }))
    const { preview } = await ask(ada, there)
    for (const { words } of [preview, await besi.open('/log/check?as=joined')]) {
      expect(words.match(/A second name by Bela/g)).toHaveLength(2)
      expect(words).toMatch(/Offices of Bela: treasurer, member.*Offices of Ada: auditor/)
    }
    expect(await rolesOf(db, ids.belaId, TODAY)).toEqual(['member'])
  })

  it('refuses a file in which an entry that both have is another one, with a sentence, and leaves this one as it was', async () => {
    const { ada, db, there } = await twoDevices()
    const moved = (startMinute: number) => (p: Pen) =>
      appendEntry(p, { kind: 'turn-amendment', reason: 'moved' }, movedTo(startMinute), 'oneIdInBothBooks')
    await pen(db, moved(780), 16)
    await pen(there, moved(840), 16)
    await pen(there, (p) => addAbstraction(p, draw()), 17)
    const before = await endOfBook(db)
    const refused = await bring(ada, await serialized(there))
    expect(refused.status).toBe(422)
    expect(refused.words).toContain('is not the same in both')
    expect(await endOfBook(db)).toEqual(before)
  })

  it('says of a file that waits why it cannot be joined any more, and offers it to nobody', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const moved = (startMinute: number) => (p: Pen) =>
      appendEntry(p, { kind: 'turn-amendment', reason: 'moved' }, movedTo(startMinute), 'oneIdInBothBooks')
    await pen(there, moved(840), 16)
    await ask(ada, there)
    const offered = await besi.open('/log/check?as=joined')
    expect(offered.html.querySelector(DOOR)).not.toBeNull()
    await pen(db, moved(780), 16)
    const before = await endOfBook(db)
    const after = await besi.open('/log/check?as=joined')
    expect([after.status, after.html.querySelector(DOOR)]).toEqual([200, null])
    expect(after.words).toContain('is not the same in both')
    const sent = await besi.send(offered, {}, offered.html.querySelector(DOOR)!.getAttribute('action')!)
    expect([sent.status, await endOfBook(db)]).toEqual([422, before])
  })

  it('joins nothing for somebody whose office ended meanwhile', async () => {
    const { ada, besi, db, there } = await twoDevices()
    await pen(there, (p) => addAbstraction(p, draw()), 16)
    await ask(ada, there)
    const action = (await besi.open('/log/check?as=joined')).html.querySelector(DOOR)!.getAttribute('action')!
    await pen(db, (p) => setRoles(p, ids.adaId, ['member'], TODAY), 17)
    expect((await besi.open('/log/check?as=joined')).html.querySelector(DOOR)).toBeNull()
    expect(await postedBare(besi, action)).toBe(403)
  })

  it('forgets a file that nobody joined within half a day', async () => {
    const { ada, besi, there, setNow } = await twoDevices()
    await pen(there, (p) => addAbstraction(p, draw()), 16)
    await ask(ada, there)
    setNow('2026-06-12T06:30:00Z')
    expect((await besi.open('/')).words).not.toContain('brought the book of another device')
    expect((await besi.open('/log/check?as=joined')).html.querySelector(DOOR)).toBeNull()
  })

  it('is joined by one where nobody else signs in', async () => {
    const { db, ada } = await startedBook('2026-06-11T05:00:00Z')
    const there = openDatabase(await serialized(db))
    const { entryId } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
    const nuru = { number: 40, name: 'Nuru', phone: null, signInName: null, roles: [], passwordHash: null }
    await there
      .transaction()
      .execute((trx) => addPerson({ trx, writtenBy: entryId, writtenAt: '2026-06-11T04:59:00.000Z' }, nuru, TODAY))
    const { preview, after } = await ask(ada, there)
    expect(preview.words).toContain('Join the two books')
    expect(after.path).toBe('/log/check?as=joined')
    expect(await db.selectFrom('person').select('name').where('name', '=', 'Nuru').execute()).toHaveLength(1)
  })

  it('by the command lets passwords, offices and second names of the other device rule only after a name here', async () => {
    const { ada, besi, db, there } = await twoDevices()
    await pen(there, (p) => setPassword(p, ids.belaId, 'hash of another device'))
    await pen(there, (p) => setRoles(p, ids.belaId, ['treasurer'], TODAY))
    const nuru = { number: 60, name: 'Nuru', phone: null, signInName: null, roles: ['committee'], passwordHash: null }
    await pen(there, (p) => addPerson(p, nuru, TODAY))
    await pen(db, (p) => joinHere(p, there), 18)
    expect((await besi.open('/log/check?as=joined')).words).toMatch(
      /A password for Bela.*Offices of Bela: treasurer.*Offices of Nuru/,
    )
    expect(await passwordHashOf(db, ids.belaId)).toBeUndefined()
    expect(await rolesOf(db, ids.belaId, TODAY)).toEqual(['member'])
    expect(
      (await ada.open('/log/check?as=joined')).html.querySelector('form[action^="/book/names/joined/"]'),
    ).toBeNull()
    expect((await besi.open('/')).words).toContain('A joined book waits for a name')
    const merged = await besi.open('/log/check?as=joined')
    await besi.send(
      merged,
      {},
      merged.html.querySelector('form[action^="/book/names/joined/"]')!.getAttribute('action')!,
    )
    expect(await passwordHashOf(db, ids.belaId)).toBe('hash of another device')
    expect(await rolesOf(db, ids.belaId, TODAY)).toEqual(['treasurer'])
  })

  it('keeps two publications of one week, goes by the first, and by the other once two names chose it', async () => {
    const { ada, besi, db, there } = await twoDevices()
    const later = '2026-06-18'
    await pen(db, (p) => addTurn(p, ids, later, '2026-06-15'), 17)
    await pen(there, (p) => addTurn(p, ids, '2026-06-19', '2026-06-15'), 16)
    await join({ ada, besi }, there)
    const turnsOn = async () => (await findPublishedWeek(db, '2026-06-15'))!.results.turns.map(({ on }) => on)
    expect(await turnsOn()).toEqual(['2026-06-19'])
    expect((await ada.open('/turns/weeks/2026-06-15')).words).toContain('Two devices published this week')
    const asksToChoose = async () => (await besi.open('/')).html.querySelector(`a[href="${path}"]`) !== null
    const path = '/turns/weeks/2026-06-15/twice'
    const form = (page: Awaited<ReturnType<Visitor['open']>>, start: string) =>
      page.html.querySelector(`form[action^="${start}"]`)!.getAttribute('action')!
    expect(await asksToChoose()).toBe(true)
    const shown = await ada.open(path)
    const other = shown.html.querySelectorAll(`form[action^="${path}/"]`).at(-1)!.getAttribute('action')!
    await ada.send(shown, {}, other)
    expect([await turnsOn(), await asksToChoose()]).toEqual([['2026-06-19'], true])
    const again = await besi.open(path)
    await besi.send(again, {}, form(again, '/turns/names/choice/'))
    expect([await turnsOn(), await asksToChoose()]).toEqual([[later], false])
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })
})
