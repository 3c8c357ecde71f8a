import { waterAlarms } from '../../water/alarm/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { pumpsStoppedOn } from '../day/store.ts'
import { stoppedTanks } from '../tank-turn/stopped.ts'

/** What stands above everything else on the first page, on the week and on its sheet; in words, with the door to each. */
export async function alarmLines(desk: Desk): Promise<{ words: string; href: string }[]> {
  const ofWater = (await waterAlarms(desk)).map(({ key, values, href }) => ({ words: desk.t(key, values), href }))
  const stopped = await pumpsStoppedOn(desk.db, desk.today)
  const ofTanks = (await stoppedTanks(desk, stopped)).map(({ number, name, words, planWords }) => ({
    words: `${desk.t('tank-turn.alarm-stopped', { number, name })} ${words} ${planWords}`,
    href: `/log/days/${desk.today}`,
  }))
  return [...ofWater, ...ofTanks]
}
