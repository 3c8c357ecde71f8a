import { addDays } from '../../../domain/calendar.ts'
import { chamberState } from '../../water/chamber/state.ts'
import { waterStates } from '../../water/storage/state.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { serviceStates } from '../../works/fault/store.ts'
import { listOutlets, type Pump } from '../../works/pump/store.ts'
import { pumpReadings } from '../../works/tank/store.ts'
import { pumpLines } from './pages.ts'

/** A meter that nobody has read for longer says nothing of now. */
const READ_WITHIN_DAYS = 31

/** One pump: what it gives, its meter, its next service and its outlets; folded how it stands and whether its chamber keeps up. */
export function addPumpPages({ get }: Pages): void {
  get('/works/pumps/:id', 'turns.see', showPump)
}

async function showPump(desk: Desk<'id'>) {
  const { db, today, params } = desk
  const line = found((await pumpLines(db, today, params.id))[0])
  const { pump } = line
  const state = (await waterStates(db, { on: today })).find(({ weir }) => weir.id === pump.weirId)
  const outlets = await listOutlets(db, today)
  return page(desk, 'works/pump', {
    title: 'people.pump.heading',
    titleValues: { number: pump.number, name: pump.name },
    line,
    weir: state?.weir ?? null,
    read: await lastReading(desk, pump),
    service: (await serviceStates(db)).find(({ pumpId }) => pumpId === pump.id) ?? null,
    outlets: outlets.filter(({ pumpId }) => pumpId === pump.id),
    beside: state ? ((await chamberState(db, state)).pumps.find(({ id }) => id === pump.id) ?? null) : null,
  })
}

async function lastReading({ db, today }: Desk, { id }: Pump) {
  const readings = await pumpReadings(db, { fromOn: addDays(today, -READ_WITHIN_DAYS), toOn: today })
  return (
    readings
      .filter(({ pumpId, reading }) => pumpId === id && reading !== null)
      .sort(byMoment)
      .at(-1) ?? null
  )
}

function byMoment(one: { on: string; moment: string }, other: { on: string; moment: string }): number {
  const at = ({ on, moment }: { on: string; moment: string }) => `${on} ${moment === 'dawn' ? 0 : 1}`
  return at(one) < at(other) ? -1 : 1
}
