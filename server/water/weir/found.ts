import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { listWeirs, type Weir } from './store.ts'

/** The weir of the address. */
export async function weirOr404({ db, params }: Desk<'id'>): Promise<Weir> {
  return found((await listWeirs(db)).find((weir) => weir.id === params.id))
}
