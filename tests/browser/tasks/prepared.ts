import { addDays } from '../../../domain/calendar.ts'
import { lastClosing } from '../../../server/abstractions/draw/meter-store.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { listVouchers } from '../../../server/fees/voucher/store.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { namedBasis, VALLEY_TODAY } from '../../support/valley.ts'
import type { valleyInBrowser } from '../windows.ts'

type Valley = Awaited<ReturnType<typeof valleyInBrowser>>

/** What is typed into a form, and the button that sends it. */
interface Sent {
  fill: Record<string, string>
  press: string
}

/** A task that is there to be done only after others did something. */
interface Prepared {
  who: string
  task: string
  wanted: number
  /** What others do first; gives the moment at which the task begins. */
  prepare: (valley: Valley) => Promise<string>
  taps: (string | RegExp | Sent)[]
  ends: RegExp
  sends: boolean
  says?: RegExp
}

const WEEK = '2026-11-23'
const NEXT_WEEK = '2026-11-30'
const FRIDAY = addDays(VALLEY_TODAY, 2)
const at = (day: string, clock: string) => `${day}T${clock}:00Z`
const turnsOf = async ({ db }: Valley) => (await bookedTurns(db, WEEK))!.turns.filter(({ droppedBy }) => !droppedBy)

/** In the order of their moments: the time of a book does not run backwards. */
export const PREPARED: Prepared[] = [
  {
    who: 'dovi',
    task: 'the next moves up where nobody came',
    wanted: 3,
    prepare: async () => at(VALLEY_TODAY, '07:20'),
    taps: ['begins: read the meter', 'Nobody came'],
    ends: /^\/log\/days\/.*open=turn-/,
    sends: true,
    says: /moves up/i,
  },
  {
    who: 'goro',
    task: 'the figure at which to stop, once the start is read',
    wanted: 1,
    prepare: async (valley) => {
      const turn = (await turnsOf(valley)).find(({ plot, on }) => plot?.number === 35 && on === VALLEY_TODAY)!
      const begins = at(VALLEY_TODAY, '10:55')
      valley.setNow(begins)
      const meterM3 = String(Math.ceil((await lastClosing(valley.db, turn.pumpId))!.closingM3) + 1)
      await (await valley.signIn('dovi')).fill(`/log/turns/${turn.bookId}?as=start`, { meterM3 })
      return begins
    },
    taps: [],
    ends: /^\/$/,
    sends: false,
    says: /Stop at\s+[\d,.]+/,
  },
  {
    who: 'goro',
    task: 'all that one person changed',
    wanted: 2,
    prepare: async (valley) => {
      const { entryId } = await valley.db
        .selectFrom('levelReading')
        .select('entryId')
        .orderBy('onDate', 'desc')
        .executeTakeFirstOrThrow()
      const correct = { depth: '98', reason: 'the stick stood askew' }
      await (await valley.signIn('amaru')).fill(`/water/lines/level/${entryId}/correct`, correct)
      return at(VALLEY_TODAY, '12:00')
    },
    taps: ['Changes, by person', 'Amaru Tolle'],
    ends: /^\/paper\/changes\?by=/,
    sends: false,
    says: /A reading of a weir.*the stick stood askew/s,
  },
  {
    who: 'fanta',
    task: 'close the month before, once what does not agree has its words',
    wanted: 3,
    prepare: async (valley) => {
      const fanta = await valley.signIn('fanta')
      const month = await fanta.open('/money/agree?period=month&on=2026-10-15')
      for (const door of month.html.querySelectorAll('a[href^="/money/settle/finding"]'))
        await fanta.fill(door.getAttribute('href')!.replaceAll('&amp;', '&'), { words: 'It lies with the meeting.' })
      return at(VALLEY_TODAY, '12:00')
    },
    taps: ['See whether October 2026 agrees', 'Close this period'],
    ends: /^\/money\/agree\/close\?/,
    sends: true,
  },
  {
    who: 'hila',
    task: 'yes to a gift of a turn',
    wanted: 2,
    prepare: async (valley) => {
      const noon = at(VALLEY_TODAY, '12:00')
      valley.setNow(noon)
      const turns = await turnsOf(valley)
      const own = turns.find(({ plot, on }) => plot?.holders.includes('Amaru Tolle') && on > VALLEY_TODAY)!
      const to = turns.find(({ plot }) => plot?.number === 8)!
      const path = `/turns/${own.bookId}/otherwise?as=swap`
      await (await valley.signIn('amaru')).fill(path, { toPlotId: to.plotId, payer: 'holder' })
      return noon
    },
    taps: ['wants to swap or give'],
    ends: /^\/turns\/asked\?as=swaps/,
    sends: true,
  },
  {
    who: 'fanta',
    task: 'pay out a voucher that has its names',
    wanted: 2,
    prepare: async (valley) => {
      const noon = at(VALLEY_TODAY, '12:00')
      valley.setNow(noon)
      const voucher = { payee: 'a smith', purpose: 'a valve', category: 'repairs', amount: '80', column: 'cash' }
      await (await valley.signIn('fanta')).fill('/money/vouchers/new', { ...voucher, invoice: 'bill 12' })
      const { id } = (await listVouchers(valley.db)).find(({ payout }) => !payout)!
      const namers = await valley.db.selectFrom('person').select('entryId').where('number', 'in', [1, 2]).execute()
      for (const { entryId } of namers) {
        await valley.db.transaction().execute((trx) => approve({ trx, writtenBy: entryId, writtenAt: noon }, id))
      }
      return noon
    },
    taps: ['Pay voucher'],
    ends: /^\/money\/names\/voucher\//,
    sends: true,
  },
  {
    who: 'fanta',
    task: 'receipts of a paper book',
    wanted: 3,
    prepare: async (valley) => {
      const book = { name: 'Green', firstNumber: '301', lastNumber: '350' }
      await (await valley.signIn('fanta')).fill('/paper/numbers?as=receipts', book)
      return at(VALLEY_TODAY, '12:00')
    },
    taps: ['Take a payment', 'Receipts from a paper book'],
    ends: /^\/paper\/cash-book\/type$/,
    sends: true,
  },
  {
    who: 'hila',
    task: 'weather of the day, by the member who reads it',
    wanted: 2,
    prepare: async (valley) => {
      valley.setNow(at(VALLEY_TODAY, '18:00'))
      await (await valley.signIn('hila')).fill('/crops/weather/new', { tmaxC: '31', tminC: '18', rainMm: '0' })
      return at(addDays(VALLEY_TODAY, 1), '18:00')
    },
    taps: ['Weather of today'],
    ends: /^\/crops\/weather\/new$/,
    sends: true,
  },
  {
    who: 'amaru',
    task: 'levels of four weirs',
    wanted: 5,
    prepare: async () => at(FRIDAY, '07:00'),
    taps: [
      'Read the levels',
      ...['140', '150', '130'].map((depth) => ({ fill: { readAt: '06:30', depth }, press: 'next one' })),
    ],
    ends: /^\/water\/levels\/new\?after=written/,
    sends: true,
  },
  {
    who: 'amaru',
    task: 'print the sheet after publishing',
    wanted: 1,
    prepare: async (valley) => {
      valley.setNow(at(FRIDAY, '12:00'))
      await namedBasis(valley, NEXT_WEEK) // Some levels were written by the one who publishes.
      await (await valley.signIn('amaru')).fill(`/turns/weeks/${NEXT_WEEK}/publish`, {})
      return at(FRIDAY, '12:30')
    },
    taps: ['Print the sheet'],
    ends: /\/sheet$/,
    sends: false,
  },
]
