import { setLinePosition } from '../server/rotation/constraint/line-store.ts'
import { setHolderGroups } from '../server/rotation/fairness/group-store.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { OUTLETS_PER_PUMP, PERSONS } from './valley.ts'

const SECRETARY = PERSONS[1]!.name
/** Whom the invented group itself wants to look at when it asks whether the turns are fair. */
const GROUPS: Record<string, string[]> = {
  'Hila Quarm': ['women’s plots'],
  'Jaya Orrin': ['women’s plots', 'tenants'],
  'Lumi Adder': ['tenants'],
  'Oban Crell': ['women’s plots'],
  'Sefa Linder': ['tenants'],
}

/** Every plot's place on its line, in the order of the valves, and the holder groups. */
export async function writeLines(scene: Scene, works: Works, on: string): Promise<void> {
  for (const plot of works.plots) {
    const outlet = works.outlets.find((one) => plot.outletIds.includes(one.id))!
    const position = ((outlet.number - 1) % OUTLETS_PER_PUMP) + 1
    await setLinePosition(penOf(scene, SECRETARY, on, '15:00'), { plotId: plot.id, fromOn: on, position })
  }
  for (const [name, names] of Object.entries(GROUPS)) {
    const personId = scene.persons.get(name)!
    await setHolderGroups(penOf(scene, SECRETARY, on, '15:30'), { personId, fromOn: on, names })
  }
}
