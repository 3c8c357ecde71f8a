import { addDays } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { LITRES_PER_M3, litresToM3 } from '../../../domain/units.ts'
import { firstDayWithout, handDrawHours } from '../../../domain/works/tank.ts'
import { waterUsersOn } from '../../water/users/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { listPumps } from '../../works/pump/store.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { lastTankLevels, tankUsesOn } from './store.ts'

/** A tank that people drink from and that no pump fills: how long it carries them, and what is then drawn by hand. */
interface StoppedTank {
  number: number
  name: string
  words: string
  /** What each kind of user is to be drawn by hand on a day. */
  plan: { kind: string; heads: string; litres: string; jerrycans: string }[]
  planWords: string
}

/** A pump that stands still fills no tank, and what stands in one that people drink from is all there is. */
export async function stoppedTanks(desk: Desk, stopped: ReadonlySet<string>): Promise<StoppedTank[]> {
  const { db, today } = desk
  const tanks = await listTanks(db)
  if (tanks.length === 0) return []
  const uses = await tankUsesOn(db, today)
  const found: StoppedTank[] = []
  for (const tank of tanks) {
    const use = uses.get(tank.id)
    if (use?.servesStand && stopped.has(tank.pumpId)) found.push(await stoppedTank(desk, tank, use.keptM3))
  }
  return found
}

async function stoppedTank(desk: Desk, tank: Tank, keptM3: number): Promise<StoppedTank> {
  const { db, today, t, format: f } = desk
  const { weirId } = (await listPumps(db, today)).find(({ id }) => id === tank.pumpId)!
  const weir = (await listWeirs(db)).find(({ id }) => id === weirId)!
  const users = ((await waterUsersOn(db, today)).get(weirId)?.users ?? []).filter(({ heads }) => heads > 0)
  const dailyM3 = sum(users, drunkM3)
  const jerrycans = Math.ceil((dailyM3 * LITRES_PER_M3) / f.canLitres - 1e-9)
  return {
    number: tank.number,
    name: tank.name,
    words: await lastsWords(desk, tank, { keptM3, dailyM3, weirNumber: weir.number }),
    plan: users.map((one) => ({
      kind: t(`water.user.${one.kind}`),
      heads: f.whole(one.heads),
      litres: f.one(one.litresPerHeadDay),
      jerrycans: f.whole(Math.ceil((drunkM3(one) * LITRES_PER_M3) / f.canLitres - 1e-9)),
    })),
    planWords: t('tank-turn.by-hand', {
      cans: jerrycans,
      hours: f.one(handDrawHours(jerrycans)),
      weir: `${weir.number} ${weir.name}`,
    }),
  }
}

function drunkM3({ heads, litresPerHeadDay }: { heads: number; litresPerHeadDay: number }) {
  return litresToM3(heads * litresPerHeadDay)
}

interface Drunk {
  keptM3: number
  dailyM3: number
  weirNumber: number
}

/** Until which day it carries them; where turns run out of it too, what stays below its mark is all that is sure. */
async function lastsWords(
  { db, today, t, format: f }: Desk,
  tank: Tank,
  { keptM3, dailyM3, weirNumber }: Drunk,
): Promise<string> {
  if (dailyM3 === 0) return t('tank-turn.lasts-uncounted', { weir: weirNumber })
  const level = (await lastTankLevels(db, { weekStartOn: addDays(today, 1), today })).get(tank.id)
  if (!level) return t('tank-turn.lasts-unread')
  const readM3 = tank.areaM2 * level.levelM
  const hasTurns = [...(await tankOutletsOn(db, today)).values()].some(({ tankId }) => tankId === tank.id)
  const standsM3 = hasTurns ? Math.min(readM3, keptM3) : readM3
  const drawnOn = firstDayWithout({ standsM3, dailyM3, read: level })
  return t(drawnOn <= today ? 'tank-turn.lasts-over' : hasTurns ? 'tank-turn.lasts-mark' : 'tank-turn.lasts', {
    volume: f.tenth(standsM3),
    date: f.date(level.on),
    daily: f.tenth(dailyM3),
    until: f.date(addDays(drawnOn, -1)),
  })
}
