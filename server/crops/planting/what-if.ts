import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { seasonLengthDays } from '../../../domain/crops/crop/stages.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { type SeasonNeed, seasonNeed, weeklyGrossM3 } from '../../../domain/crops/season/need.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { efficiencyOf } from '../need/plan-water.ts'
import type { SeasonNeeds } from '../season/need.ts'
import { carried, declaredM3, type Mix, type WaterForPlanting, weirPart } from './ceiling.ts'

/** Summed over the weirs, m2. */
interface CarriedGround {
  firstTrancheM2: number
  secondTrancheM2: number
}

interface WhatIf {
  crop: Crop
  sownOn: CalendarDate
  method: string
  untilOn: CalendarDate | null
  need: SeasonNeed
  /** If nothing else were sown. */
  alone: CarriedGround
  /** Beside all that is declared and still to be watered. */
  beside: CarriedGround
}

/** How much of one crop the water would carry, alone and beside what is declared; null where water or weather cannot be said. */
export function whatIf(input: {
  group: Group
  crop: Crop | undefined
  sownOn: CalendarDate
  method: string
  water: WaterForPlanting
  season: SeasonNeeds
}): WhatIf | null {
  const { group, crop, sownOn, method, water, season } = input
  const stageDays = crop?.stageDays
  if (!crop || !stageDays || !season.months || !water.isKnown || !irrigationMethodByKey(method)) return null
  const need = seasonNeed({
    plan: { crop: { ...crop, stageDays }, areaM2: 1, plantedOn: sownOn, repeats: crop.perennial },
    fromOn: sownOn,
    seasonEndOn: group.seasonEndOn,
    months: season.months,
    efficiency: efficiencyOf({ method }, season.settings),
    // Whose plot it will be is not said, so the bed is that of a middling soil.
    availableMmPerM: soilByKey('sandy_loam')!.availableMmPerM,
    rootedPart: irrigationMethodByKey(method)!.rootedPart,
  })
  if (!(need.grossM3PerM2.low > 0)) return null
  const untilOn = crop.perennial ? null : addDays(sownOn, seasonLengthDays(stageDays) - 1)
  const { alone, beside } = groundOf({ need, method, water, season })
  return { crop, sownOn, method, untilOn, need, alone, beside }
}

interface Asked {
  need: SeasonNeed
  method: string
  water: WaterForPlanting
  season: SeasonNeeds
}

function groundOf({ need, method, water, season }: Asked) {
  const fromOn = water.weirs[0]!.state.on
  const efficiency = efficiencyOf({ method }, season.settings)
  const needsM3PerM2 = weeklyGrossM3({ days: need.days, areaM2: 1, efficiency, fromOn, weeks: water.weeks })
  const mix: Mix = { needsM3PerM2, seasonM3PerM2: need.grossM3PerM2 }
  const plans = season.plans.filter((plan) => plan.need.netMm > 0)
  const alone = water.weirs.map((weir) => carried(weir, mix))
  const beside = water.weirs.map((weir) => {
    return carried(weir, mix, declaredM3(plans, water, weirPart(water, weir.state.weir.id)))
  })
  const summed = (areas: readonly CarriedGround[]): CarriedGround => ({
    firstTrancheM2: sum(areas, (area) => area.firstTrancheM2),
    secondTrancheM2: sum(areas, (area) => area.secondTrancheM2),
  })
  return { alone: summed(alone), beside: summed(beside) }
}
