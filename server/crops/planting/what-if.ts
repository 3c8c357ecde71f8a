import { addDays } from '../../../domain/calendar.ts'
import { seasonLengthDays } from '../../../domain/crops/crop/stages.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { type PlantableArea, plantableAreaM2 } from '../../../domain/crops/planting/plantable-area.ts'
import { type SeasonNeed, seasonNeed } from '../../../domain/crops/season/need.ts'
import type { Group } from '../../../domain/people/group.ts'
import { addRanges, type Range } from '../../../domain/units.ts'
import { efficiencyOf } from '../need/plan-water.ts'
import type { SeasonNeeds } from '../season/need.ts'
import type { PlantingWater } from './ceiling.ts'

interface WhatIf {
  crop: Crop
  sownOn: string
  method: string
  untilOn: string | null
  need: SeasonNeed
  /** If nothing else were sown. */
  alone: PlantableArea
  /** Beside all that is declared and still to be watered. */
  beside: PlantableArea
}

/** How much of one crop the water would carry, alone and beside what is declared; null where water or weather cannot be said. */
export function whatIf(input: {
  group: Group
  crop: Crop | undefined
  sownOn: string
  method: string
  water: PlantingWater
  season: SeasonNeeds
  declaredM3: Range | null
}): WhatIf | null {
  const { group, crop, sownOn, method, water, season, declaredM3 } = input
  const stageDays = crop?.stageDays
  if (!crop || !stageDays || !season.months || !water.total || !irrigationMethodByKey(method)) return null
  const need = seasonNeed({
    plan: { crop: { ...crop, stageDays }, areaM2: 1, plantedOn: sownOn, repeats: crop.perennial },
    fromOn: sownOn,
    seasonEndOn: group.seasonEndOn,
    months: season.months,
    efficiency: efficiencyOf({ method }),
    // Whose plot it will be is not said, so the bed is that of a middling soil.
    availableMmPerM: soilByKey('sandy_loam')!.availableMmPerM,
    rootedPart: irrigationMethodByKey(method)!.rootedPart,
  })
  if (!(need.grossM3PerM2.low > 0)) return null
  const seasonNeedM3PerM2 = need.grossM3PerM2
  const alone = plantableAreaM2({ ...water.total, seasonNeedM3PerM2 })
  const kept = declaredM3 ? addRanges([water.total.reserveM3, declaredM3]) : water.total.reserveM3
  const beside = plantableAreaM2({ ...water.total, reserveM3: kept, seasonNeedM3PerM2 })
  const untilOn = crop.perennial ? null : addDays(sownOn, seasonLengthDays(stageDays) - 1)
  return { crop, sownOn, method, untilOn, need, alone, beside }
}
