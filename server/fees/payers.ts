import type { Abstraction } from '../abstractions/abstraction-store.ts'
import type { Database } from '../database/connection.ts'
import { listPersons } from '../people/person-store.ts'
import { listPlots } from '../people/plot-store.ts'
import { listAccounts } from './account-store.ts'

export interface Payer {
  accountId: string
  personId: string
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

/** Who pays for each draw: the taker where one is named, else the first holder of the plot on that day. */
export async function payersOf(
  db: Database,
  draws: readonly Abstraction[],
  payers: ReadonlyMap<string, Payer>,
): Promise<Map<string, Payer>> {
  const holders = new Map<string, Map<string, string | undefined>>()
  const found = new Map<string, Payer>()
  for (const { id, takerId, plotId, onDate } of draws) {
    if (!takerId && plotId && !holders.has(onDate)) {
      const plots = await listPlots(db, onDate)
      holders.set(onDate, new Map(plots.map((plot) => [plot.id, plot.holders[0]?.id])))
    }
    const personId = takerId ?? (plotId ? holders.get(onDate)?.get(plotId) : undefined)
    const payer = personId ? payers.get(personId) : undefined
    if (payer) found.set(id, payer)
  }
  return found
}
