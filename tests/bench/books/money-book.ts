import { addDays } from '../../../domain/calendar.ts'
import { addAbstraction, TOLD_AS_VOLUME } from '../../../server/abstractions/draw/store.ts'
import { appendEntry, type Pen } from '../../../server/book/entries.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { openMemberAccount } from '../../../server/fees/ledger/account-store.ts'
import { recordPayment } from '../../../server/fees/receipt/store.ts'
import { setTariff } from '../../../server/fees/tariff/store.ts'
import { addPlot } from '../../../server/people/plot/store.ts'
import { OWN_GROUP, startedBook } from '../../support/book.ts'
import type { Visitor } from '../../support/visitor.ts'

const WEEKS = 21
/** Charges are posted every fourth week, and one in four pays in any week. */
const CHARGE_EVERY = 4

/** A season's book of many members: a plot and a delivery a week each, charges, and payments that lag behind. */
export async function moneyBookOf(members: number) {
  const book = await startedBook('2026-10-28T09:00:00Z')
  const { db, ada } = book
  const password = 'another long word'
  const tomo = { number: '2', name: 'Tomo', signInName: 'tomo', phone: '', password }
  await ada.fill('/people/new', { ...tomo, roles: ['treasurer'] })
  const rows = await db.selectFrom('person').select(['entryId', 'name']).execute()
  const idOf = (name: string) => rows.find((row) => row.name === name)!.entryId
  const as = <T>(name: string, work: (pen: Pen) => Promise<T>) =>
    db
      .transaction()
      .execute((trx) => work({ trx, writtenBy: idOf(name), writtenAt: new Date('2026-10-28T09:00:00Z').toISOString() }))
  const weirId = await as('Ada', (pen) =>
    appendEntry(pen, { kind: 'weir' }, { weir: [{ number: 1, name: 'Upper', distanceM: 0 }] }),
  )
  const plots = await as('Ada', async (pen) => {
    const made: { personId: string; plotId: string }[] = []
    for (let at = 0; at < members; at++) {
      const person = { number: at + 10, name: `Member ${at + 1}`, phone: null, signInName: null }
      const personId = await appendEntry(pen, { kind: 'person' }, { person: [person] })
      await openMemberAccount(pen, personId)
      const plot = { areaM2: 400, soil: 'sandy_loam', method: 'drip', shares: 1, outletIds: [], fromOn: '2026-06-01' }
      const plotId = await addPlot(pen, { ...plot, number: at + 1, name: `Plot ${at + 1}`, holderIds: [personId] })
      made.push({ personId, plotId })
    }
    return made
  })
  const tariff = { fromOn: '2026-06-01', perM3Minor: 5000, drinkingFree: true }
  const tariffId = await as('Tomo', (pen) => setTariff(pen, tariff))
  await as('Ada', (pen) => approve(pen, tariffId))
  for (let week = 0; week < WEEKS; week++) {
    const on = addDays(OWN_GROUP.seasonStart, week * 7)
    await as('Ada', async (pen) => {
      for (const [at, { plotId }] of plots.entries()) {
        const volumeM3 = 2 + ((at + week) % 7) / 2
        await addAbstraction(pen, { ...DRAW, weirId, plotId, onDate: addDays(on, at % 6), volumeM3 })
      }
    })
    const sunday = addDays(on, 6)
    await as('Tomo', async (pen) => {
      if (week % CHARGE_EVERY === CHARGE_EVERY - 1) await postCharges(pen, { toOn: sunday, onDate: sunday })
      for (const [at, { personId }] of plots.entries()) {
        if ((at + week) % 4 > 0) continue
        await recordPayment(pen, { personId, amountMinor: 40_000, column: 'cash', onDate: sunday })
      }
    })
  }
  const treasurer: Visitor = book.visitor()
  await treasurer.fill('/sign-in', { signInName: 'tomo', password })
  return { ...book, treasurer, plots }
}

const DRAW = { ...TOLD_AS_VOLUME, use: 'irrigation', uncertaintyM3: 0.2, grade: 'measured' } as const
