import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import type { Range } from '../../units.ts'
import { creditedRainMm, type RainRule } from '../demand/rain.ts'
import type { CropPlan } from '../plan.ts'
import { SEEDLING_ROOT_DEPTH_M } from '../root-zone/balance.ts'
import { balanceRootZone, rootZoneOutput } from '../root-zone/balance-arrays.ts'
import type { WateredDay } from '../root-zone/outlook.ts'

interface SeedBedInput {
  plan: Pick<CropPlan, 'crop'>
  /** The bed as it lies on the morning of this day. */
  on: CalendarDate
  /** Days before it; what is not written counts as dry. Empty: nothing is known and the bed may be dry or moist. */
  days: readonly WateredDay[]
  availableMmPerM: Range
  rootedPart?: Range | undefined
  efficiency: Range
  rainRule?: RainRule | undefined
}

/** Days looked back on: longer, and bare ground has dried whatever it was before. Common practice, no source. */
const DAYS_BEHIND = 30

/**
 * Water, mm, that a bed of a seedling's root depth lacks before sowing. Bare ground of which nothing is known is taken as dried
 * out after a dry month and is moist after rain or water that was brought; it dries like the crop's initial stage. A perennial
 * has no bed of its own. The bed: common practice, no source; its balance: FAO-56 (1998), equations 84 and 85.
 */
export function seedBedMm(input: SeedBedInput): Range {
  const { plan, availableMmPerM, rootedPart } = input
  if (plan.crop.perennial) return { low: 0, likely: 0, high: 0 }
  const depthM = Math.min(plan.crop.rootDepthMinM, SEEDLING_ROOT_DEPTH_M)
  const holds = (end: keyof Range) => depthM * availableMmPerM[end] * (rootedPart?.[end] ?? 1)
  const lacks = (holdsMm: number) => depletionOn(input, holdsMm)
  const likely = lacks(holds('likely'))
  // Whether anything is still moist below a bare crust nobody sees, so the low end is half of it.
  return { low: 0.5 * Math.min(likely, lacks(holds('low'))), likely, high: Math.max(likely, lacks(holds('high'))) }
}

function depletionOn({ plan, on, days, efficiency, rainRule }: SeedBedInput, holdsMm: number): number {
  const dates = datesFromTo(addDays(on, -DAYS_BEHIND), addDays(on, -1))
  const booked = new Map(days.map((day) => [day.date, day]))
  const column = (pick: (day: WateredDay | undefined) => number) =>
    Float64Array.from(dates, (date) => pick(booked.get(date)))
  const out = rootZoneOutput(dates.length)
  balanceRootZone(
    {
      etoMm: column((day) => day?.etoMm ?? USUAL_ETO_MM),
      kc: new Float64Array(dates.length).fill(plan.crop.kcIni),
      totalMm: new Float64Array(dates.length).fill(holdsMm),
      creditedRainMm: column((day) => creditedRainMm({ rainMm: day?.rainMm ?? 0, rule: rainRule })),
      irrigationMm: column((day) => ((day?.broughtMm ?? 0) + (day?.untypedMm ?? 0)) * efficiency.likely),
      tableFraction: plan.crop.depletionFraction,
      startDepletionMm: holdsMm,
    },
    out,
  )
  return out.depletionMm.at(-1)!
}

/** Stands in for days whose weather nobody wrote; a bed dries within a fortnight under any of them. */
const USUAL_ETO_MM = 5
