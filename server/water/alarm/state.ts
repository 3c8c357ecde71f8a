import type { Values } from '../../web/figures/locale.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { droughtState } from '../drought/state.ts'
import { type WaterState, waterStates } from '../storage/state.ts'

/** What people must hear before anything else, as a key of the catalogue with its values, and where it is dealt with. */
interface Alarm {
  key: string
  values: Values
  href: string
}

/** Nothing to drink at a weir, a reading that waits to be borne out, a stage of drought that the readings call for. */
export async function waterAlarms(desk: Pick<Desk, 'db' | 'today' | 'format'>): Promise<Alarm[]> {
  const states = await waterStates(desk.db, { on: desk.today })
  const { inForce, proposed } = await droughtState(desk.db, desk.today)
  const stage = proposed && proposed.severity > (inForce?.stage.severity ?? 0) ? proposed : null
  return [
    ...states.flatMap((state) => emptyAlarm(state, desk)),
    ...states.flatMap((state) => doubtAlarm(state, desk)),
    ...(stage
      ? [
          {
            key: 'water.alarm.stage',
            values: { severity: stage.severity, name: stage.name },
            href: '/water/dry',
          },
        ]
      : []),
  ]
}

/** By the likely figure, less what left the sand since the reading. */
function emptyAlarm({ weir, storage, since, dailyDrinkingM3 }: WaterState, { format }: Pick<Desk, 'format'>): Alarm[] {
  if (storage.cannotSay || !(dailyDrinkingM3 ?? 0)) return []
  const aboveM3 = storage.available.likelyM3 - since.drawnM3 - since.drunkM3 - since.lostM3
  if (aboveM3 > 0) return []
  const byHandM3 = Math.max(0, storage.handDrawn.likelyM3 + aboveM3)
  const isDry = byHandM3 < dailyDrinkingM3!
  const values = { number: weir.number, name: weir.name, volume: format.volume(byHandM3) }
  return [{ key: isDry ? 'water.alarm.dry' : 'water.alarm.hand-only', values, href: `/water/weirs/${weir.id}` }]
}

function doubtAlarm({ weir, reading, doubted }: WaterState, { format }: Pick<Desk, 'format'>): Alarm[] {
  if (!doubted || !reading) return []
  const values = {
    number: weir.number,
    name: weir.name,
    date: format.date(doubted.reading.readOn),
    rules: format.date(reading.readOn),
  }
  return [{ key: 'water.alarm.doubted', values, href: `/water/lines/level/${doubted.id}` }]
}
