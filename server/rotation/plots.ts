import type { Id } from '../../domain/id.ts'
import { listPlots, type Plot } from '../people/plot/store.ts'
import type { Desk } from '../web/pages/desk.ts'
import { PageError } from '../web/pages/errors.ts'
import type { Option } from '../web/pages/form-page.ts'

type Held = Pick<Plot, 'holders'>

export function isHeldBy({ holders }: Held, personId: Id<'person'>): boolean {
  return holders.some((holder) => holder.id === personId)
}

/** For whom somebody speaks who does not hold the plot: its first holder; nobody where they speak for themselves. */
export function spokenFor(plot: Held, personId: Id<'person'>): string | null {
  return isHeldBy(plot, personId) ? null : (plot.holders[0]?.id ?? null)
}

/** Whoever keeps the log speaks for every plot, anybody else for a plot of their own. */
export function maySpeakFor({ person, may }: Desk, plot: Held | undefined): boolean {
  return may('abstraction.log') || (plot !== undefined && isHeldBy(plot, person.id))
}

/** Stops whoever would write for a plot of somebody else's. Throws PageError 403. */
export function onlyIfSpeaksFor(desk: Desk, plot: Held): void {
  if (!maySpeakFor(desk, plot)) throw new PageError(403, 'error.not-theirs')
}

/** The plots for which whoever stands there may ask and book. */
export async function plotsToSpeakFor(desk: Desk, on: string): Promise<Plot[]> {
  return (await listPlots(desk.db, on)).filter((plot) => maySpeakFor(desk, plot))
}

/** The plots of whoever stands there. */
export async function ownPlots({ db, person }: Desk, on: string): Promise<Plot[]> {
  return (await listPlots(db, on)).filter((plot) => isHeldBy(plot, person.id))
}

export function holderNames({ holders }: Held): string {
  return holders.map((holder) => holder.name).join(', ')
}

/** A plot as a choice, with whoever holds it. */
export function plotOption(plot: Plot): Option {
  return { value: plot.id, label: `${plot.number} ${plot.name} (${holderNames(plot)})` }
}
