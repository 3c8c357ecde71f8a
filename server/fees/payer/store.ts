import type { Id } from '../../../domain/id.ts'
import type { Abstraction } from '../../abstractions/draw/store.ts'
import { readTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { payerOfTurn, type SwapPayer } from '../../rotation/swap/store.ts'
import { listAccounts } from '../ledger/account-store.ts'

export interface Payer {
  accountId: Id<'account'>
  personId: Id<'person'>
  number: number
  name: string
}

/** Everyone who can be charged, by person. */
export async function listPayers(db: Database): Promise<Map<string, Payer>> {
  const accounts = new Map((await listAccounts(db)).map((account) => [account.personId, account.id]))
  const payers = new Map<string, Payer>()
  for (const { id, number, name } of await listPersons(db)) {
    const accountId = accounts.get(id)
    if (accountId) payers.set(id, { accountId, personId: id, number, name })
  }
  return payers
}

/** A draw, or a turn that was not used, as far as it matters for who pays. */
type Paid = Pick<Abstraction, 'takerId' | 'plotId' | 'onDate' | 'turnId'> & { id: string }

/**
 * Who pays for each draw: the taker where one is named, else the first holder of the plot on that day; for a turn that was
 * swapped or given, the first holder of the plot that both agreed on, where that is another than the plot that took it.
 */
export async function payersOf(
  db: Database,
  draws: readonly Paid[],
  payers: ReadonlyMap<string, Payer>,
): Promise<Map<string, Payer>> {
  const holders = new Map<string, Map<string, string | undefined>>()
  const found = new Map<string, Payer>()
  const agreed = await agreedPayers(db, draws)
  for (const { id, takerId, plotId, onDate } of draws) {
    const payingPlotId = agreed.get(id)?.plotId ?? plotId
    const namedId = agreed.has(id) ? null : takerId
    if (!namedId && payingPlotId && !holders.has(onDate)) {
      const plots = await listPlots(db, onDate)
      holders.set(onDate, new Map(plots.map((plot) => [plot.id, plot.holders[0]?.id])))
    }
    const personId = namedId ?? (payingPlotId ? holders.get(onDate)?.get(payingPlotId) : undefined)
    const payer = personId ? payers.get(personId) : undefined
    if (payer) found.set(id, payer)
  }
  return found
}

const oneSwap = readTogether('money', (db) => db.selectFrom('swappedTurn').select('entryId').limit(1))

/** The agreements that make another plot pay than the one that took the water, by the draw. */
export async function agreedPayers(
  db: Database,
  draws: readonly Pick<Paid, 'id' | 'plotId' | 'turnId'>[],
): Promise<Map<string, SwapPayer>> {
  const agreed = new Map<string, SwapPayer>()
  if ((await oneSwap(db)).length === 0) return agreed
  const byTurn = new Map<string, SwapPayer | null>()
  for (const { id, plotId, turnId } of draws) {
    if (turnId === null) continue
    if (!byTurn.has(turnId)) byTurn.set(turnId, await payerOfTurn(db, turnId))
    const payer = byTurn.get(turnId)
    if (payer && payer.plotId !== plotId) agreed.set(id, payer)
  }
  return agreed
}
