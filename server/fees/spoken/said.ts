import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import { currencyExponent, type Minor, sumMinor } from '../../../domain/money/money.ts'
import { saidRound } from '../../../domain/people/voice/rounding.ts'
import { figure, money, type Sentence, sentence } from '../../../domain/people/voice/sentence.ts'
import { nameHeard } from '../../people/voice/state.ts'
import { fairSeason } from '../../rotation/fairness/season-state.ts'
import { waterStates } from '../../water/storage/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { transfersOf } from '../ledger/transfer-store.ts'
import { fewPayers } from '../payer/few.ts'
import { periodBooks } from '../reconcile/books.ts'

/** What somebody paid in the season, and what is still to pay or paid ahead: exact, since it is owed. */
export async function accountSaid(
  desk: Desk,
  { accountId, personId }: { accountId: Id<'account'>; personId: Id<'person'> },
): Promise<Sentence[]> {
  const { db, group } = desk
  const name = await nameHeard(desk, personId)
  const transfers = await transfersOf(db, accountId)
  const receipts = transfers.filter(({ receiptNumber }) => receiptNumber !== null)
  const numbers = new Set(receipts.map(({ id }) => id))
  const ofSeason = receipts.filter(({ on }) => on >= group.seasonStartOn)
  const takenBack = transfers.filter(({ correctsId }) => correctsId && numbers.has(correctsId as Id<'transfer'>))
  const gone = new Set(takenBack.map(({ correctsId }) => correctsId))
  const paid = sumMinor(ofSeason.filter(({ id }) => !gone.has(id)).map(({ amountMinor }) => amountMinor))
  return [
    ...(name ? [sentence('account-name', { name })] : []),
    ...(paid > 0 ? [sentence('paid', { sum: money(paid) })] : []),
    balanceSaid(balanceOf({ transfers, accountId })),
  ]
}

/** What is owed, or paid ahead. */
export function balanceSaid(balanceMinor: Minor): Sentence {
  if (balanceMinor === 0) return sentence('nothing-owed')
  const sum = money(Math.abs(balanceMinor) as Minor)
  return balanceMinor > 0 ? sentence('owed', { sum }) : sentence('ahead', { sum })
}

/**
 * The season told in short sentences: what was pumped and given, what each weir holds, what came of what was due along the lines, and
 * the money of all together. No name, and no sum over few payers, which would tell each one's own.
 */
export async function seasonSaid(desk: Desk): Promise<Sentence[]> {
  const { group, today, db } = desk
  const to = [group.seasonEndOn, today].toSorted()[0]!
  const books = await periodBooks(db, { from: group.seasonStartOn, to, today })
  const few = await fewPayers(db, books)
  return [
    sentence('report'),
    ...waterSaid(books),
    ...(await weirsSaid(desk, to)),
    ...(await linesSaid(desk)),
    ...(few ? [] : moneySaid(desk, books)),
  ]
}

type Books = Awaited<ReturnType<typeof periodBooks>>

function waterSaid({ water, volumes }: Books): Sentence[] {
  const said = (say: string, m3: number) => sentence(say, { count: figure(saidRound(m3)) })
  return [
    ...(water ? [said('pumped', water.pumpedM3)] : []),
    ...(saidRound(volumes.byHandM3 ?? 0) > 0 ? [said('by-hand', volumes.byHandM3!)] : []),
    said('delivered', volumes.deliveredM3),
    // Within what the meters can tell apart nothing is missing.
    ...(water && water.unexplainedM3 > water.toleranceM3 ? [said('unexplained', water.unexplainedM3)] : []),
  ]
}

async function weirsSaid({ db }: Desk, on: string): Promise<Sentence[]> {
  const states = await waterStates(db, { on })
  return states.map(({ weir, storage }) => {
    const number = figure(weir.number)
    if (storage.cannotSay) return sentence('weir-unknown', { number })
    return sentence('weir', { number, count: figure(saidRound(storage.available.likelyM3)) })
  })
}

async function linesSaid({ db, parts, group, today }: Desk): Promise<Sentence[]> {
  const { fairness } = await fairSeason(db, parts.rotation, group, today)
  return fairness.byLine.flatMap(({ name, level }) =>
    level === null ? [] : [sentence(`at-${name}`, { count: figure(Math.round(level * 100)) })],
  )
}

function moneySaid({ group }: Desk, { arrears, costsMinor }: Books): Sentence[] {
  const unit = 10 ** currencyExponent(group.currency)
  const rounded = (minor: number) => money((Math.round(saidRound(minor / unit)) * unit) as Minor)
  const sums = {
    charged: arrears.chargesMinor + arrears.finesMinor,
    'came-in': arrears.receiptsMinor,
    'still-owed': arrears.closingMinor,
    'paid-out': costsMinor,
  }
  return Object.entries(sums).flatMap(([say, minor]) => (minor > 0 ? [sentence(say, { sum: rounded(minor) })] : []))
}
