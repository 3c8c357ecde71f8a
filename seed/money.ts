import { addDays } from '../domain/calendar.ts'
import { balanceOf } from '../domain/fees/ledger.ts'
import { approve, hindranceTo } from '../server/book/names/approvals.ts'
import { reckonCharges } from '../server/fees/charge/reckoning.ts'
import { postCharges } from '../server/fees/charge/store.ts'
import { listAccounts } from '../server/fees/ledger/account-store.ts'
import { listTransfers } from '../server/fees/ledger/transfer-store.ts'
import { writeHearing } from '../server/fees/missed-turn/store.ts'
import { recordPayment } from '../server/fees/receipt/store.ts'
import { type NewTariff, setTariff } from '../server/fees/tariff/store.ts'
import { keepGroupMoney } from './group-money.ts'
import { penOf, type Scene } from './scene.ts'
import { PERSONS } from './valley.ts'

const [CHAIR, SECRETARY] = [PERSONS[0]!.name, PERSONS[1]!.name]
const TREASURER = PERSONS.find((person) => person.roles.includes('treasurer'))!.name
/** Charges are written every fourth week; the price goes up once, by a decision of the meeting. */
const CHARGE_EVERY = 4
const DEARER_FROM_WEEK = 9
const PRICES = { atFirst: 60, later: 70 }
/** With the dearer price come one for a turn left without word and, each month, one for a share of the works. */
const LATER_PARTS = [
  { kind: 'no-show', priceMinor: 100 },
  { kind: 'per-share', priceMinor: 50, every: 'month' },
] as const

/** The price of the season's start, with its second name. */
export async function setFirstPrice(scene: Scene, on: string): Promise<void> {
  await setPrice(scene, { on, fromOn: scene.group.seasonStartOn, perM3Minor: PRICES.atFirst })
}

async function setPrice(scene: Scene, { on, ...price }: Omit<NewTariff, 'drinkingFree'> & { on: string }) {
  const tariff = { ...price, drinkingFree: true }
  const id = await setTariff(penOf(scene, TREASURER, on, '16:00'), tariff)
  await approve(penOf(scene, CHAIR, on, '16:20'), id)
}

/** The treasurer's week: payments on Wednesday, every fourth Sunday the charges of what was delivered. */
export async function keepMoney(scene: Scene, sunday: string, week: number): Promise<void> {
  if (week > CHARGE_EVERY) await takePayments(scene, addDays(sunday, -4))
  if (week === DEARER_FROM_WEEK) {
    await setPrice(scene, { on: sunday, fromOn: addDays(sunday, 1), perM3Minor: PRICES.later, parts: LATER_PARTS })
  }
  if (week % CHARGE_EVERY === CHARGE_EVERY - 1) {
    await hearMissed(scene, sunday)
    await postCharges(penOf(scene, TREASURER, sunday, '19:30'), { toOn: sunday, onDate: sunday })
  }
  await keepGroupMoney(scene, sunday, week)
}

/** Whoever left a turn without word is heard before anything is charged, and has two weeks to appeal. */
async function hearMissed(scene: Scene, on: string): Promise<void> {
  const { waitingTurns } = await reckonCharges(scene.trx, { toOn: on })
  for (const { turnId, step } of waitingTurns) {
    if (step !== 'not-heard') continue
    const said = { turnId, heardOn: on, hearing: 'had work elsewhere and sent no word', appealUntil: addDays(on, 14) }
    const id = await writeHearing(penOf(scene, TREASURER, on, '18:40'), said)
    const isChairs = await hindranceTo(scene.trx, id, { personId: scene.persons.get(CHAIR)!, at: `${on}T18:50:00Z` })
    await approve(penOf(scene, isChairs ? SECRETARY : CHAIR, on, '18:50'), id)
  }
}

/** Some pay all, some a part, some next week. */
async function takePayments(scene: Scene, on: string): Promise<void> {
  const transfers = await listTransfers(scene.trx)
  for (const account of await listAccounts(scene.trx)) {
    if (!account.personId || !scene.chance.happens(0.35)) continue
    const owedMinor = balanceOf({ transfers, accountId: account.id })
    if (owedMinor <= 0) continue
    const part = scene.chance.happens(0.55) ? 1 : scene.chance.between(0.3, 0.7)
    const amountMinor = Math.max(5, Math.round((owedMinor * part) / 5) * 5)
    const column = scene.chance.happens(0.7) ? 'cash' : 'wallet'
    const payment = { personId: account.personId, amountMinor, column, onDate: on } as const
    await recordPayment(penOf(scene, TREASURER, on, '15:10'), payment)
  }
}
