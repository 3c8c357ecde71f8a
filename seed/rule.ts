import type { CalendarDate } from '../domain/calendar.ts'
import type { ClassPlace } from '../domain/rotation/rule/types.ts'
import { cropPlans } from '../server/crops/plan/store.ts'
import { setPlanClass } from '../server/rotation/rule/class-store.ts'
import { setSharingRule } from '../server/rotation/rule/store.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { PERSONS, SCHOOL_PLOT } from './valley.ts'

const CHAIR = PERSONS[0]!.name
const MIX = { equalWeight: 30, areaWeight: 70, shareWeight: 0, admission: 'crop' } as const
/** Grown to be sold, in this valley. */
const FOR_THE_MARKET = ['pepper_bell', 'eggplant']

const CLASSES: ClassPlace[] = [
  { class: 'nursery', place: 1, minimumPart: 0.5 },
  { class: 'perennials', place: 2, minimumPart: 0.5 },
  { class: 'food', place: 3, minimumPart: 0.4 },
  { class: 'market', place: 3, minimumPart: null },
  { class: 'late', place: 4, minimumPart: null },
]

/** The first version: all crops alike, since nobody knew yet how long the water would last. */
export async function writeFirstRule(scene: Scene, on: string): Promise<void> {
  await setSharingRule(penOf(scene, CHAIR, on, '17:40'), { fromOn: on, ...MIX })
}

/** The second version, half-way: a part of every food crop before what is sold, the school's garden protected, a part left unbooked. */
export async function changeRule(
  scene: Scene,
  works: Works,
  fromOn: CalendarDate,
  writtenOn: CalendarDate,
): Promise<void> {
  const pen = () => penOf(scene, CHAIR, writtenOn, '18:20')
  for (const plan of await cropPlans(scene.trx)) {
    if (FOR_THE_MARKET.includes(plan.cropKey))
      await setPlanClass(pen(), { planId: plan.id, fromOn, plotClass: 'market' })
  }
  const school = works.plots.find((plot) => plot.number === SCHOOL_PLOT)!
  await setSharingRule(pen(), {
    fromOn,
    ...MIX,
    classes: CLASSES,
    sparePart: 0.1,
    protectedPlots: [{ plotId: school.id, upToStage: 3 }],
  })
}
