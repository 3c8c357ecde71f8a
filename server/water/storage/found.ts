import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { type WaterState, waterStates } from './state.ts'

/** What is known today of the water of the weir of the address. */
export async function stateOr404({ db, today, params }: Desk<'id'>): Promise<WaterState> {
  return found((await waterStates(db, { on: today })).find(({ weir }) => weir.id === params.id))
}
