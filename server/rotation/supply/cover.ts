import { daysBetween } from '../../../domain/calendar.ts'
import type { WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'
import { coverStates } from '../../water/cover/state.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'

/** The weirs with their days of cover, by which a plot that can be served from several takes its water. */
export async function withCover(
  db: Database,
  today: string,
  plots: readonly Plot[],
  weirs: WeekWeir[],
): Promise<WeekWeir[]> {
  // Days of cover run every weir through the season; most groups have no plot for which they would decide anything.
  if (!(await hasChoiceOfWeirs(db, today, plots))) return weirs
  const covers = new Map((await coverStates(db, { on: today })).map((one) => [one.state.weir.id, one]))
  return weirs.map((weir): WeekWeir => {
    const { cover, state } = covers.get(weir.id) ?? {}
    if (!cover || !state?.lateRainOn) return weir
    // What never falls to the drinking line lasts to the late rain, and that is as far as anybody looks.
    return { ...weir, coverDays: cover.cautious.daysToDrinkingLine ?? daysBetween(today, state.lateRainOn) }
  })
}

async function hasChoiceOfWeirs(db: Database, today: string, plots: readonly Plot[]): Promise<boolean> {
  const weirOfPump = new Map((await listPumps(db, today)).map((pump) => [pump.id, pump.weirId]))
  const weirOfOutlet = new Map((await listOutlets(db, today)).map((one) => [one.id, weirOfPump.get(one.pumpId)]))
  return plots.some(({ outletIds }) => new Set(outletIds.map((id) => weirOfOutlet.get(id))).size > 1)
}
