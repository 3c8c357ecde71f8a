import type { CalendarDate } from '../../../domain/calendar.ts'
import { trialParts } from '../../../domain/rotation/newcomer.ts'
import type { RuleMix } from '../../../domain/rotation/rule/types.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots } from '../../people/plot/store.ts'
import { householdsOn } from '../rule/household-store.ts'
import { sharingRuleOn } from '../rule/store.ts'

interface TriedMix {
  equal: number
  area: number
  share: number
  persons: number
}

/**
 * What a newcomer with some land (m2), shares and persons does to the part of each plot, by the rule of the day or by other weights
 * that the group wants to try; null where it cannot be said.
 */
export async function trialShares(
  db: Database,
  on: CalendarDate,
  { areaM2, shares, persons }: { areaM2: number; shares: number; persons: number },
  tried: TriedMix | null = null,
) {
  const rule = tried ? mixOf(tried) : await sharingRuleOn(db, on)
  if (!rule) return null
  const households = await householdsOn(db, on)
  const plots = (await listPlots(db, on)).map((plot) => ({
    id: plot.id as string,
    areaM2: plot.areaM2,
    shares: plot.shares,
    persons: households.get(plot.id)?.persons ?? 0,
  }))
  return trialParts({ plots, newcomer: { id: 'newcomer', areaM2, shares, persons }, mix: rule })
}

function mixOf({ equal, area, share, persons }: TriedMix): RuleMix {
  return {
    equalWeight: equal,
    areaWeight: area,
    shareWeight: share,
    personsWeight: persons,
    needWeight: 0,
    areaCapM2: null,
  }
}
