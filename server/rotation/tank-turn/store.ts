import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { WeekTank } from '../../../domain/rotation/week/inputs.ts'
import { downToLitreM3, type M3 } from '../../../domain/units.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'

/** A level older than this says nothing of what stands in a tank now. Common practice, no source. */
const READING_HOLDS_DAYS = 7

interface TankUse {
  fromOn: CalendarDate
  /** The clock hours set for its turns, over midnight where the first is later; null for all outside the pump's. */
  fromHour: number | null
  toHour: number | null
  keptM3: M3
  servesStand: boolean
}

/** A use as it stands in the book. */
export interface StandingUse extends TankUse {
  id: string
}

const useRows = readTogether('works', (db) =>
  db
    .selectFrom('tankUse')
    .innerJoin('entry', 'entry.id', 'tankUse.entryId')
    .selectAll('tankUse')
    .select('seq')
    .where(standing('tankUse')),
)

/** How each tank is used on a day; a tank of which nothing was said is left out. */
export async function tankUsesOn(db: Database, on: string): Promise<Map<string, StandingUse>> {
  const rows = await kept(db, 'uses of tanks', null, () => useRows(db))
  const found = new Map<string, StandingUse>()
  for (const tankId of new Set(rows.map((row) => row.tankId))) {
    const row = inForce(
      rows.filter((one) => one.tankId === tankId),
      on,
    )
    if (!row) continue
    const { fromOn, fromHour, toHour, keptM3 } = row
    found.set(tankId, { id: row.entryId, fromOn, fromHour, toHour, keptM3, servesStand: row.servesStand === 1 })
  }
  return found
}

export async function setTankUse(
  pen: Pen,
  { tankId, ...use }: TankUse & { tankId: Id<'tank'> },
  typed: Pick<Facts, 'typedVolume'> = {},
): Promise<string> {
  const row = {
    tankId,
    fromOn: use.fromOn,
    fromHour: use.fromHour,
    toHour: use.toHour,
    keptM3: use.keptM3,
    servesStand: use.servesStand ? 1 : 0,
  }
  return appendEntry(pen, { kind: 'tank-use' }, { tankUse: [row], ...typed })
}

/** The tanks that feed outlets by gravity in a week, as it is frozen with them; none while no outlet hangs on one. */
export async function weekTanks(
  db: Database,
  { weekStartOn, today }: { weekStartOn: CalendarDate; today: string },
): Promise<{ tanks: WeekTank[]; fed: Map<string, string> }> {
  const fed = await tankOutletsOn(db, weekStartOn)
  const feeding = new Set([...fed.values()].map(({ tankId }) => tankId))
  const tanks = (await listTanks(db)).filter((tank) => feeding.has(tank.id))
  const uses = await tankUsesOn(db, weekStartOn)
  const levels = await lastTankLevels(db, { weekStartOn, today })
  return {
    tanks: tanks.map((tank) => weekTank(tank, uses.get(tank.id), levels.get(tank.id))),
    fed: new Map([...fed].map(([outletId, { tankId }]) => [outletId, tankId])),
  }
}

interface Level {
  on: string
  moment: 'dawn' | 'dusk'
  levelM: number
}

function weekTank(tank: Tank, use: TankUse | undefined, level: Level | undefined): WeekTank {
  const { id, number, name, pumpId, areaM2 } = tank
  const capacityM3 = capacityOf(tank)
  return {
    id,
    number,
    name,
    pumpId,
    areaM2,
    capacityM3,
    floorM3: Math.min(capacityM3, use?.keptM3 ?? 0),
    servesStand: use?.servesStand ?? false,
    startM3: level ? Math.min(capacityM3, downToLitreM3(areaM2 * level.levelM)) : 0,
    reading: level ? { on: level.on, moment: level.moment } : null,
    gravityHours: use ? hoursOf(use) : null,
  }
}

/** What a tank holds when it is full, to the litre. */
export function capacityOf({ areaM2, heightM }: Pick<Tank, 'areaM2' | 'heightM'>): M3 {
  return downToLitreM3(areaM2 * heightM)
}

/** Hours over midnight are two stretches of the day. */
function hoursOf({ fromHour, toHour }: Pick<TankUse, 'fromHour' | 'toHour'>): WeekTank['gravityHours'] {
  if (fromHour === null || toHour === null) return null
  if (fromHour < toHour) return [{ fromHour, toHour }]
  return [
    { fromHour: 0, toHour },
    { fromHour, toHour: 24 },
  ]
}

/** The last level of each tank before the week begins, unless it is too old to count on. */
export async function lastTankLevels(
  db: Database,
  { weekStartOn, today }: { weekStartOn: CalendarDate; today: string },
): Promise<Map<string, Level>> {
  const rows = await db
    .selectFrom('tankReading')
    .innerJoin('entry', 'entry.id', 'tankReading.entryId')
    .select(['tankId', 'onDate as on', 'moment', 'levelM'])
    .where(standing('tankReading'))
    .where('onDate', '>=', addDays(weekStartOn, -READING_HOLDS_DAYS))
    .where('onDate', '<=', weekStartOn < today ? weekStartOn : today)
    .orderBy('onDate')
    .orderBy('moment')
    .orderBy(asWritten)
    .execute()
  const usable = rows.filter(({ on, moment }) => on < weekStartOn || moment === 'dawn')
  return new Map(usable.map(({ tankId, ...level }) => [tankId, { ...level, moment: level.moment as Level['moment'] }]))
}
