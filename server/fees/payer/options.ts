import type { Database } from '../../database/connection.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { listPayers, type Payer } from './store.ts'

/** Everyone who can be charged, in the order of their numbers. */
export async function payersByNumber(db: Database): Promise<Payer[]> {
  return [...(await listPayers(db)).values()].toSorted((a, b) => a.number - b.number)
}

export async function payerOptions(db: Database): Promise<Option[]> {
  return (await payersByNumber(db)).map(({ personId, number, name }) => ({
    value: personId,
    label: `${number} ${name}`,
  }))
}
