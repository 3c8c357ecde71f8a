import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { Format } from '../../web/figures/format.ts'
import type { CropBook } from '../crop/store.ts'
import type { NewCropPlan } from './store.ts'

/** Crops without printed stages wait until the group has given them stages of its own. */
export function plannable(crops: CropBook, on: string): Crop[] {
  return crops.on(on).filter((crop) => crop.stageDays !== null)
}

interface PlanToCheck {
  plan: NewCropPlan
  plot: Plot | undefined
  crops: CropBook
  group: Group
  format: Format
  /** Where the area was typed. */
  areaField?: 'area' | 'ownArea'
  /** The ending that a corrected plan has already. */
  endedOn?: CalendarDate | null
}

/** The field that a plan fails on and why; null where it can be written. */
export function planTrouble({ plan, plot, crops, group, format, areaField = 'area', endedOn = null }: PlanToCheck) {
  if (!plot) return { field: 'plotId', key: 'error.choose' }
  if (!crops.of(plan)?.stageDays) return { field: 'cropKey', key: 'error.choose' }
  if (plot.isAreaKnown && plan.areaM2 > plot.areaM2) {
    const values = { area: format.whole(plot.areaM2) }
    return { field: areaField, key: 'crops.wrong.area-above-plot', values }
  }
  if (plan.sownOn > group.seasonEndOn) {
    const values = { date: format.date(group.seasonEndOn) }
    return { field: 'sownOn', key: 'crops.wrong.sown-after-season', values }
  }
  if (endedOn !== null && plan.sownOn > endedOn) {
    const values = { date: format.date(endedOn) }
    return { field: 'sownOn', key: 'crops.wrong.sown-after-end', values }
  }
  return null
}
