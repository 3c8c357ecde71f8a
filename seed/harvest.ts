import { addDays } from '../domain/calendar.ts'
import { seasonLengthDays } from '../domain/crops/crop/stages.ts'
import { cropByKey } from '../domain/crops/data/crops.ts'
import { addCropPlan, cropPlans, endCropPlan } from '../server/crops/plan/store.ts'
import { penOf, type Scene } from './scene.ts'
import { PERSONS } from './valley.ts'

const SECRETARY = PERSONS[1]!.name
/** Short crops that a household sows when a bed is free again and the season is long enough. */
const SECOND_CROPS = ['bean_green', 'cabbage']

/** On Saturday the secretary writes in what was cleared, and what was sown again. */
export async function writeHarvests(scene: Scene, saturday: string): Promise<void> {
  for (const plan of await cropPlans(scene.trx)) {
    const stageDays = cropByKey(plan.cropKey)?.stageDays
    if (plan.endedOn || !stageDays) continue
    if (addDays(plan.sownOn, seasonLengthDays(stageDays)) > saturday) continue
    const pen = () => penOf(scene, SECRETARY, saturday, '17:15')
    await endCropPlan(pen(), { planId: plan.id, endedOn: saturday, outcome: 'harvested' })
    if (addDays(saturday, 70) > scene.group.seasonEndOn || scene.chance.happens(0.5)) continue
    const { plotId, areaM2 } = plan
    const sownOn = addDays(saturday, 5)
    if (sownOn <= scene.today)
      await addCropPlan(pen(), { plotId, cropKey: scene.chance.pick(SECOND_CROPS), areaM2, sownOn })
  }
}
