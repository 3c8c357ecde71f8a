import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { listPlots, type Plot } from './store.ts'

/** The plot that a page is about, as it is today. */
export async function plotOr404({ db, params, today }: Desk<'id'>): Promise<Plot> {
  return found((await listPlots(db, today)).find(({ id }) => id === params.id))
}
