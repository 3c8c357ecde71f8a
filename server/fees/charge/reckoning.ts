import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { charge } from '../../../domain/fees/charge/charge.ts'
import { followUpCharges } from '../../../domain/fees/charge/follow-up.ts'
import type { ChargeLine } from '../../../domain/fees/charge/types.ts'
import { DRINKING, type Tariff } from '../../../domain/fees/tariff/tariff.ts'
import type { Id } from '../../../domain/id.ts'
import { type Minor, sumMinor } from '../../../domain/money/money.ts'
import { type Abstraction, drawsOfDays, listAbstractions } from '../../abstractions/draw/store.ts'
import { kept, lettingOthersIn } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { payerClasses, plannedVolumes } from '../fixed-fee/payer-class-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { listPayers, type Payer, payersOf } from '../payer/store.ts'
import { approvedTariffs } from '../tariff/store.ts'
import { correctedDraws, type DrawHistory, drawHistory } from './draw-history.ts'
import { chargedDraw, type DueCharge } from './due.ts'
import { missedCharges, turnsToHear, type WaitingTurn } from './missed-turns.ts'

export interface Reckoning {
  payers: Payer[]
  due: DueCharge[]
  totalMinor: Minor
  /** Turns left without word that are heard first. */
  waitingTurns: WaitingTurn[]
  /** Draws for which no approved price held on their day; nothing is charged for them yet. */
  withoutTariff: Abstraction[]
  /** Draws with neither a taker nor a holder of the plot on that day. */
  withoutPayer: Abstraction[]
}

/** A transfer for a draw, seen from the member's account. */
interface Posted {
  accountId: Id<'account'>
  transfer: WrittenTransfer
  firstId: string
  amountMinor: number
}

const FIRST_DAY = '0001-01-01'
const LAST_DAY = '9999-12-31'
const OF_NO_MEMBER: readonly string[] = ['flushing', 'other']

/**
 * What is due and not yet posted for the draws up to a day and for turns left without word. A draw that was charged as it
 * now stands is left alone, whatever happened to tariffs and holders since; one that was corrected is reckoned again and
 * its difference is due.
 */
export function reckonCharges(db: Database, { toOn }: { toOn: CalendarDate }): Promise<Reckoning> {
  return kept(db, 'charges due', toOn, async () => reckoningOf(db, toOn, await reckoningParts(db, toOn)))
}

type ReckoningParts = Awaited<ReturnType<typeof reckoningParts>>

async function reckoningOf(db: Database, toOn: CalendarDate, parts: ReckoningParts): Promise<Reckoning> {
  const { payers, open, openPosted, history, charges, accountOf, tariffs, classOn } = parts
  const unused = await missedCharges(db, { toOn, tariffs, payers, classOn })
  const missed = group(unused.due, (one) => one.accountId)
  const differences = [...payers.values()].flatMap((payer) => [
    ...differencesOf({ payer, open, openPosted, history, lines: charges.lines.get(payer.accountId) ?? [] }),
    ...(missed.get(payer.accountId) ?? []),
  ])
  return {
    payers: [...payers.values()].filter((payer) => differences.some((one) => one.accountId === payer.accountId)),
    due: differences,
    waitingTurns: unused.waiting,
    totalMinor: sumMinor(differences.map((one) => one.differenceMinor)),
    withoutTariff: open.filter((draw) => accountOf(draw) && draw.volumeM3 > 0 && charges.unpriced.has(draw.id)),
    withoutPayer: open.filter((draw) => !accountOf(draw) && draw.use === 'irrigation' && draw.volumeM3 > 0),
  }
}

interface DrawAndMoney {
  draw: Abstraction
  /** Worked out anew by the tariff of its day, whatever was posted. */
  dueMinor: number
  /** All that was posted for it, follow-up lines included; null when nothing was. */
  postedMinor: number | null
}

/** Every delivery up to a day beside what is due and what was posted for it, and all that waits to be posted. */
export async function drawsAndMoney(db: Database, { toOn }: { toOn: CalendarDate }) {
  const parts = await reckoningParts(db, toOn)
  return { draws: drawsOf(parts), reckoning: await reckoningOf(db, toOn, parts) }
}

function drawsOf({ due, posted, history, charges }: ReckoningParts): DrawAndMoney[] {
  const lines = group([...charges.lines.values()].flat(), (line) => line.abstractionId)
  const postedOf = group(posted, (one) => one.firstId)
  return due.map((draw) => {
    const own = postedOf.get(history.firstId(draw.id))
    return {
      draw,
      dueMinor: sumMinor((lines.get(draw.id) ?? []).map((line) => line.amountMinor)),
      postedMinor: own ? sumMinor(own.map((one) => one.amountMinor)) : null,
    }
  })
}

async function reckoningParts(db: Database, toOn: CalendarDate) {
  readAhead(db, correctedDraws(db), drawsOfDays(db, { fromOn: FIRST_DAY, toOn: LAST_DAY }), turnsToHear(db, toOn))
  await lettingOthersIn()
  const history = await drawHistory(db)
  const payers = await listPayers(db)
  const posted = await postedCharges(db, history, payers)
  const draws = (await listAbstractions(db, { fromOn: FIRST_DAY, toOn: LAST_DAY })).filter(
    (draw) => !OF_NO_MEMBER.includes(draw.use),
  )
  await lettingOthersIn()
  const later = new Set(draws.filter((draw) => draw.onDate > toOn).map((draw) => history.firstId(draw.id)))
  const due = draws.filter((draw) => draw.onDate <= toOn)
  const asCharged = accountsByDraw(posted)
  const open = due.filter((draw) => !asCharged.has(draw.id))
  const settled = new Set(due.filter((draw) => asCharged.has(draw.id)).map((draw) => history.firstId(draw.id)))
  const openPosted = posted.filter((one) => !settled.has(one.firstId) && !later.has(one.firstId))
  const tariffs = await approvedTariffs(db)
  const payerOf = await payersOf(db, open, payers)
  const accountOf = (draw: Abstraction) => asCharged.get(draw.id) ?? payerOf.get(draw.id)?.accountId
  const [classes, planned] = [await payerClasses(db), await plannedVolumes(db)]
  const personOf = new Map([...payers.values()].map((payer) => [payer.accountId, payer.personId]))
  const classOn = (accountId: Id<'account'>, on: CalendarDate) => classes(personOf.get(accountId) ?? '', on)
  const { timeZone } = found(await currentGroup(db))
  const places = chargedPlaces(posted)
  const placeOf = (draw: Abstraction) => places.get(history.firstId(draw.id))
  const charges = await chargesByAccount({ tariffs, draws: due, accountOf, classOn, planned, placeOf, timeZone })
  return { payers, posted, due, open, openPosted, history, charges, accountOf, tariffs, classOn }
}

async function postedCharges(
  db: Database,
  history: DrawHistory,
  payers: ReadonlyMap<string, Payer>,
): Promise<Posted[]> {
  const accounts = new Set([...payers.values()].map((payer) => payer.accountId))
  return (await listTransfers(db)).flatMap((transfer) => {
    const { abstractionId, debitAccountId, creditAccountId } = transfer
    if (abstractionId === null) return []
    const debit = accounts.has(debitAccountId)
    return {
      accountId: debit ? debitAccountId : creditAccountId,
      transfer,
      firstId: history.firstId(abstractionId),
      amountMinor: debit ? transfer.amountMinor : -transfer.amountMinor,
    }
  })
}

/** Who was charged for each draw as it is written; where one gave back and another pays, the one who pays. */
function accountsByDraw(posted: readonly Posted[]): Map<string | null, string> {
  const payingLast = posted.toSorted((a, b) => a.amountMinor - b.amountMinor)
  return new Map(payingLast.map((one) => [one.transfer.abstractionId, one.accountId]))
}

/** Where in the ledger each draw was charged first; a slip that was found late is priced after those of its month. */
function chargedPlaces(posted: readonly Posted[]): Map<string, number> {
  return new Map(posted.toReversed().map(({ firstId, transfer }) => [firstId, transfer.seq]))
}

/** Each payer's draws of a month go through the tariff together, since rising blocks count the volume of that month. */
async function chargesByAccount({
  tariffs,
  draws,
  accountOf,
  classOn,
  planned,
  placeOf,
  timeZone,
}: {
  tariffs: readonly Tariff[]
  draws: readonly Abstraction[]
  accountOf: (draw: Abstraction) => string | undefined
  classOn: (accountId: Id<'account'>, on: CalendarDate) => string | null
  planned: ReadonlyMap<string, number>
  placeOf: (draw: Abstraction) => number | undefined
  timeZone: string
}) {
  const lines = new Map<string, ChargeLine[]>()
  const unpriced = new Set<string>()
  for (const [accountId, ofAccount] of group(draws, accountOf)) {
    if (accountId === undefined) continue
    await lettingOthersIn()
    const alike = (draw: Abstraction) => `${draw.onDate.slice(0, 7)} ${classOn(accountId, draw.onDate)}`
    for (const own of group(ofAccount, alike).values()) {
      const abstractions = own.map((draw) => chargedDraw({ draw, timeZone, planned, chargedPlace: placeOf(draw) }))
      const period = { from: own[0]!.onDate, to: own.at(-1)!.onDate }
      const charged = slipCharges({
        tariffs,
        abstractions,
        payer: { payerClass: classOn(accountId, own[0]!.onDate) },
        period,
      })
      lines.set(accountId, [...(lines.get(accountId) ?? []), ...charged.lines])
      const days = new Set(charged.withoutTariffOn)
      for (const { id, on, use } of abstractions) if (use !== DRINKING && days.has(on)) unpriced.add(id)
    }
  }
  return { lines, unpriced }
}

/** Fixed fees are posted by their own dates, not with the deliveries. */
function slipCharges(input: Parameters<typeof charge>[0]) {
  const charged = charge(input)
  return { ...charged, lines: charged.lines.filter((line) => line.abstractionId !== null) }
}

function differencesOf({
  payer,
  open,
  openPosted,
  lines,
  history,
}: {
  payer: Payer
  open: readonly Abstraction[]
  openPosted: readonly Posted[]
  lines: readonly ChargeLine[]
  history: DrawHistory
}): DueCharge[] {
  const drawOf = new Map(open.map((draw) => [history.firstId(draw.id), draw]))
  const linesOf = group(lines, (line) => (line.abstractionId ? history.firstId(line.abstractionId) : null))
  const posted = openPosted.filter((one) => one.accountId === payer.accountId)
  const due = [...drawOf.keys()].flatMap((firstId) =>
    (linesOf.get(firstId) ?? []).map((line) => ({ abstractionId: firstId, amountMinor: line.amountMinor })),
  )
  const before = posted.map(({ firstId, amountMinor }) => ({ abstractionId: firstId, amountMinor }))
  return followUpCharges({ due, posted: before }).map(({ abstractionId: firstId, differenceMinor }) => {
    const first = posted.find((one) => one.firstId === firstId)
    const own = linesOf.get(firstId) ?? []
    const draw = drawOf.get(firstId) ?? null
    return {
      accountId: payer.accountId,
      personId: payer.personId,
      abstractionId: draw?.id ?? first!.transfer.abstractionId!,
      draw,
      missed: null,
      lines: own,
      differenceMinor,
      followsId: first?.transfer.id ?? null,
      reason: history.lastReason(firstId),
    }
  })
}
