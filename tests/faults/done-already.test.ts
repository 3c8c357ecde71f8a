import { parse } from 'node-html-parser'
import { beforeAll, describe, expect, it } from 'vitest'
import type { Pen } from '../../server/book/entries.ts'
import { approve } from '../../server/book/names/approvals.ts'
import { withhold } from '../../server/book/names/withheld-store.ts'
import { closePeriod, listClosings } from '../../server/fees/closing/store.ts'
import { confirmFine, listFines, writeFine } from '../../server/fees/fine/store.ts'
import { periodBooks } from '../../server/fees/reconcile/books.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { type Body, Rascal } from './nasty.ts'

const OVER = '2026-11-16'
const PUBLISHED = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
const rascals = new Map<string, Rascal>()

beforeAll(async () => {
  valley = await openValley()
}, 600_000)

async function signedIn(name: string): Promise<Rascal> {
  const rascal = rascals.get(name) ?? new Rascal(valley.app)
  if (!rascals.has(name)) await rascal.signIn(name)
  rascals.set(name, rascal)
  return rascal
}

async function idOf(name: string) {
  const found = valley.db.selectFrom('person').select('entryId').where('signInName', '=', name)
  return (await found.executeTakeFirstOrThrow()).entryId
}

async function as<T>(name: string, work: (pen: Pen) => Promise<T>): Promise<T> {
  const writtenBy = await idOf(name)
  return valley.db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T10:00:00.000Z` }))
}

async function entryCount(): Promise<number> {
  return (await valley.db.selectFrom('entry').select('id').execute()).length
}

/** An id of the first or last entry of a kind. */
async function entryOf(kind: string, order: 'asc' | 'desc' = 'desc'): Promise<string> {
  const entry = valley.db.selectFrom('entry').select('id').where('kind', '=', kind).orderBy('seq', order)
  return (await entry.executeTakeFirstOrThrow()).id
}

/** A turn of the list in force, of one plot's holder or anybody's. */
async function turnOn(onDate: string, holder?: string): Promise<string> {
  const turns = valley.db.selectFrom('turn').select('id').where('onDate', '=', onDate)
  if (!holder) return (await turns.executeTakeFirstOrThrow()).id
  const plots = valley.db
    .selectFrom('plotHolder')
    .select('plotId')
    .where('personId', '=', await idOf(holder))
  return (await turns.where('plotId', 'in', plots).executeTakeFirstOrThrow()).id
}

async function fine(lapseOn: string, { confirmed }: { confirmed: boolean }) {
  const personId = await idOf('hila')
  const told = { personId, amountMinor: 500, rule: 'gate', fact: 'left open', hearing: 'sorry' }
  await as('fanta', (pen) => writeFine(pen, { ...told, heardOn: '2026-11-02', lapseOn }))
  const written = (await listFines(valley.db)).at(-1)!
  if (confirmed) await as('amaru', (pen) => confirmFine(pen, written, VALLEY_TODAY))
  return (await listFines(valley.db)).at(-1)!
}

/** August is closed with two names, once. */
async function closed(): Promise<void> {
  if ((await listClosings(valley.db)).length > 0) return
  const august = { from: '2026-08-01', to: '2026-08-31', today: VALLEY_TODAY }
  const id = await as('fanta', async (pen) => closePeriod(pen, await periodBooks(pen.trx, august)))
  await as('besi', (pen) => approve(pen, id))
}

async function sent(name: string, url: string, body: Body = {}): Promise<{ name: string; url: string; body: Body }> {
  return { name, url, body }
}

/** Does it once by the same raw post, which must be taken, and hands it over to be sent again. */
async function once(name: string, url: string, body: Body = {}) {
  const answer = await (await signedIn(name)).post(url, body)
  if (answer.status !== 303) throw new Error(`${url}: ${answer.status} ${sentence(answer.text)}`)
  return sent(name, url, body)
}

function sentence(page: string): string {
  return (parse(page).querySelector('main')?.textContent ?? '').replace(/\s+/g, ' ').trim()
}

type Post = Awaited<ReturnType<typeof sent>>
const REASON = { reason: 'pressed too late' }

/** Posts that come when their hour is over or was never there, with what the answer says. */
const POSTS: [what: string, post: () => Promise<Post>, says: RegExp][] = [
  [
    'a fine taken back before it has its second name',
    async () => sent('fanta', `/money/names/fine/${(await fine('2026-11-20', { confirmed: false })).id}/back`),
    /Only what is not paid of a fine that was charged can be taken back/,
  ],
  [
    'a fine taken back before its day',
    async () => sent('fanta', `/money/names/fine/${(await fine('2026-11-26', { confirmed: true })).id}/back`),
    /once its day of lapse has come/,
  ],
  [
    'a fine taken back twice',
    async () => once('fanta', `/money/names/fine/${(await fine('2026-11-25', { confirmed: true })).id}/back`),
    /already decided or written/,
  ],
  [
    'a fine confirmed twice',
    async () => sent('besi', `/money/names/fine/${(await fine('2026-12-20', { confirmed: true })).id}`),
    /is shown to that person, the treasurer and the auditor only/,
  ],
  [
    'a fine confirmed after it was withdrawn',
    async () => {
      const { id } = await fine('2026-12-20', { confirmed: false })
      await as('fanta', (pen) => withhold(pen, id, 'a mistake'))
      return sent('amaru', `/money/names/fine/${id}`)
    },
    /is shown to that person, the treasurer and the auditor only/,
  ],
  [
    'a matter withdrawn twice',
    async () => {
      const { id } = await fine('2026-12-20', { confirmed: false })
      return once('fanta', `/book/names/${id}/withhold`, REASON)
    },
    /was declined or withdrawn already/,
  ],
  [
    'a matter withdrawn after it was named',
    async () => sent('fanta', `/book/names/${(await fine('2026-12-20', { confirmed: true })).id}/withhold`, REASON),
    /The names stand under this already/,
  ],
  [
    'a past turn called off by its own holder',
    async () => sent('hila', `/turns/${await turnOn('2026-11-18', 'hila')}/became`, { cause: 'excused' }),
    /The day of this turn is over/,
  ],
  [
    'a past turn excused at the log',
    async () => sent('dovi', `/turns/${await turnOn('2026-11-24')}/became`, { cause: 'excused' }),
    /Write when and through whom word came/,
  ],
  [
    'a turn to come told as missed',
    async () => sent('dovi', `/turns/${await turnOn('2026-11-27')}/became`, { cause: 'no-show' }),
    /This day has not come yet/,
  ],
  [
    'a past turn lent to somebody',
    async () => sent('hila', `/turns/${await turnOn('2026-11-18', 'hila')}/otherwise?as=swap`, { kind: 'gift' }),
    /The day of this turn is over/,
  ],
  [
    'a past turn moved up',
    async () => sent('dovi', `/turns/${await turnOn('2026-11-24')}/moves-up`),
    /The day of this turn is over/,
  ],
  [
    'a rule chosen for a week that is over',
    async () => sent('amaru', `/turns/weeks/${OVER}/compare`, { rule: 'proportional', ...REASON }),
    /already been published/,
  ],
  [
    'a rule chosen for a week that is published',
    async () => sent('amaru', `/turns/weeks/${PUBLISHED}/compare`, { rule: 'proportional', ...REASON }),
    /already been published/,
  ],
  ['a week published twice', async () => sent('amaru', `/turns/weeks/${PUBLISHED}/publish`), /already been published/],
  [
    'a week published when it is over',
    async () => sent('amaru', '/turns/weeks/2026-07-27/publish'),
    /This week is over/,
  ],
  [
    'a week changed when it is over',
    async () => sent('amaru', `/turns/weeks/${OVER}/change`, { kind: 'drop' }),
    /This week is over/,
  ],
  [
    'a turn added to a week that is over',
    async () => sent('amaru', `/turns/weeks/${OVER}/change?as=add`),
    /This week is over/,
  ],
  ['a day to come closed', async () => sent('dovi', '/log/days/2026-11-27/close'), /This day has not come yet/],
  [
    'an inspection struck out twice',
    async () => once('dovi', `/water/lines/wall/${await entryOf('inspection')}/correct`, REASON),
    /already corrected or struck out/,
  ],
  [
    'a year of rain struck out twice',
    async () => once('amaru', `/water/lines/rain-record/${await entryOf('rain-record')}/correct`, REASON),
    /already corrected or struck out/,
  ],
  [
    'a receipt taken back twice',
    async () => once('fanta', '/money/receipts/5/mend', { original: 'lost', ...REASON }),
    /already taken back/,
  ],
  [
    'a voucher paid twice',
    async () => sent('fanta', `/money/names/voucher/${await entryOf('voucher')}/pay`),
    /already paid/,
  ],
  [
    'a harvest written twice',
    async () =>
      sent('amaru', `/crops/plans/${await entryOf('crop-plan', 'asc')}/end`, {
        outcome: 'harvested',
        endedOn: '2026-11-24',
      }),
    /An ending is written already/,
  ],
  [
    'a list that goes on without a pause',
    async () => sent('dovi', `/turns/lists/${await entryOf('pump')}/goes-on`),
    /The list is not paused/,
  ],
  [
    'a month closed twice',
    async () => {
      await closed()
      return sent('fanta', '/money/agree/close?period=month&on=2026-08-31')
    },
    /closed/,
  ],
  [
    'a payment written into a month that is closed',
    async () => {
      await closed()
      const paid = { number: '350', paidOn: '2026-08-20', payerId: await idOf('hila'), amount: '200', column: 'cash' }
      return sent('fanta', `/money/pay/${await entryOf('receipt-book')}`, paid)
    },
    /closed/,
  ],
  ['a book begun twice', async () => sent('amaru', '/start', { name: 'Again' }), /already been started/],
  ['the example loaded into a book in use', async () => sent('amaru', '/start?as=example'), /already been started/],
  [
    'a clock set right that is right',
    async () => sent('amaru', '/people/settle/clock', { day: VALLEY_TODAY }),
    /The clock of the machine fits the book/,
  ],
]

describe('a post that comes too late, too early or a second time', () => {
  it.each(POSTS)('is answered with a sentence and writes nothing: %s', async (_what, post, says) => {
    const { name, url, body } = await post()
    const before = await entryCount()
    const answer = await (await signedIn(name)).post(url, body)
    expect([403, 404, 409, 422]).toContain(answer.status)
    expect(sentence(answer.text)).toMatch(says)
    expect(await entryCount()).toBe(before)
  })
})
