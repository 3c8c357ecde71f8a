import type { CalendarDate } from '../domain/calendar.ts'
import type { Id } from '../domain/id.ts'
import { approve } from '../server/book/names/approvals.ts'
import { setTankUse } from '../server/rotation/tank-turn/store.ts'
import { addFlowTest } from '../server/works/pump/store.ts'
import { setTankOutlet } from '../server/works/tank/outlet-store.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { TANK_TURNS } from './valley.ts'

interface Joining {
  tankId: Id<'tank'>
  /** The day on which the pipes were joined and the outlets tested, and from which turns go by gravity. */
  on: string
  fromOn: CalendarDate
  by: string
  /** Whoever put a second name under it, so that whoever wrote it may publish the week. */
  named: string
}

/** Two outlets at the tail of the third line are joined to its tank; the next week is the first with gravity turns. */
export async function joinTank(scene: Scene, works: Works, { tankId, on, fromOn, by, named }: Joining): Promise<void> {
  const pen = () => penOf(scene, by, on, '19:40')
  const written: string[] = []
  for (const { outlet, flowM3PerH } of TANK_TURNS.outlets) {
    const { id: outletId } = works.outlets.find(({ number }) => number === outlet)!
    written.push(await addFlowTest(pen(), { outletId, testedOn: on, flowM3PerH }))
    written.push(await setTankOutlet(pen(), { outletId, tankId, fromOn }))
  }
  const { fromHour, toHour, keptM3 } = TANK_TURNS
  written.push(await setTankUse(pen(), { tankId, fromOn, fromHour, toHour, keptM3, servesStand: true }))
  for (const id of written) await approve(penOf(scene, named, on, '19:55'), id)
}
