import { measuredVolumeM3 } from '../../../domain/abstractions/draw/measured-volume.ts'
import { addDays, datesFromTo, weekdayOf } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { writeHarvests } from '../../../seed/harvest.ts'
import { keepMoney } from '../../../seed/money.ts'
import { HiddenSand } from '../../../seed/sand.ts'
import { openScene, penOf, type Scene, type Works } from '../../../seed/scene.ts'
import { settle } from '../../../seed/settle.ts'
import { PLANTINGS } from '../../../seed/valley.ts'
import { stepOf } from '../../../server/abstractions/draw/measuring.ts'
import { addAbstraction, TOLD_AS_VOLUME } from '../../../server/abstractions/draw/store.ts'
import { answers } from '../../../server/answers.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { addCropPlan, cropPlans } from '../../../server/crops/plan/store.ts'
import type { Database } from '../../../server/database/connection.ts'
import { setGroup } from '../../../server/people/group/store.ts'
import { weekInputs } from '../../../server/rotation/draft/inputs.ts'
import { publishWeek } from '../../../server/rotation/published/store.ts'
import { addLevelReading } from '../../../server/water/level/store.ts'
import { surveysOn } from '../../../server/water/sand/description-store.ts'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { WRITER, widen } from './wide.ts'

const ATTENDANT = 'Dovi Marrok'
const YEAR_DAYS = 364
const SUNDAY = 7
const DRINKING_M3 = 9
/** What a meter of five digits and two decimals goes through before it begins again at zero. */
const METER_TURNS_AT_M3 = 100_000
/** From the second season on the money week goes without what is done once in a book: price, rates, paper book, promise. */
const LATER_WEEKS = 100

/** A book of so many seasons, the last of which runs on the day it is opened, and of so many households. */
export interface Size {
  seasons: number
  households: number
}

interface Life {
  scene: Scene
  works: Works
  sands: HiddenSand[]
  metersM3: Map<string, number>
}

/** Lives the seasons of a book through the stores, one transaction a season; tells how long each took. */
export async function liveSeasons(
  db: Database,
  { seasons, households, today, passwordHash }: Size & { today: string; passwordHash: string },
  told: (season: number, ms: number) => void,
): Promise<void> {
  let life: Life | null = null
  for (let season = 0; season < seasons; season++) {
    const started = performance.now()
    await db.transaction().execute(async (trx) => {
      const scene = openScene(trx, addDays(today, -YEAR_DAYS * (seasons - 1 - season)))
      life = life ? await nextSeason(life, scene) : await firstSeason(scene, { households, passwordHash })
      await liveOne(life, season)
    })
    told(season + 1, performance.now() - started)
  }
}

async function firstSeason(
  scene: Scene,
  { households, passwordHash }: { households: number; passwordHash: string },
): Promise<Life> {
  const works = await widen(scene, await settle(scene, passwordHash), households)
  const surveys = await surveysOn(scene.trx, scene.today)
  const sands = works.weirs.map((weir) => new HiddenSand(weir, surveys.get(weir.id)!, 0.98))
  return { scene, works, sands, metersM3: new Map(works.pumps.map(({ id }) => [id, 1000])) }
}

/** The rains have filled the sand; the dates of the new season are decided, and every plot is sown again. */
async function nextSeason({ scene: before, works, metersM3 }: Life, fresh: Scene): Promise<Life> {
  const scene = { ...fresh, ids: before.ids, chance: before.chance, persons: before.persons }
  const on = addDays(scene.group.seasonStartOn, -12)
  await setGroup(penOf(scene, WRITER, on, '08:00'), scene.group, on)
  const plans = await cropPlans(scene.trx)
  for (const { id: plotId, number } of works.plots) {
    const planting = PLANTINGS[(number * 5) % PLANTINGS.length]!
    const { areaM2 } = plans.find((plan) => plan.plotId === plotId)!
    const sownOn = addDays(scene.group.seasonStartOn, Math.round(scene.chance.between(-6, 62)))
    await addCropPlan(penOf(scene, WRITER, on, '14:00'), { plotId, cropKey: planting.cropKey, areaM2, sownOn })
  }
  const surveys = await surveysOn(scene.trx, scene.today)
  const sands = works.weirs.map((weir) => new HiddenSand(weir, surveys.get(weir.id)!, 0.98))
  return { scene, works, sands, metersM3 }
}

async function liveOne(life: Life, season: number): Promise<void> {
  const { scene } = life
  for (const day of scene.weather) if (day.onDate < scene.group.seasonStartOn) await writeWeather(scene, day)
  await readLevels(life, addDays(scene.group.seasonStartOn, -4))
  for (const [week, weekStartOn] of scene.weeks.entries()) {
    await publish(scene, weekStartOn)
    for (const on of datesFromTo(weekStartOn, addDays(weekStartOn, 6))) if (on < scene.today) await liveDay(life, on)
    if (addDays(weekStartOn, 6) >= scene.today) continue
    await writeHarvests(scene, addDays(weekStartOn, 5))
    await keepMoney(scene, addDays(weekStartOn, 6), season === 0 ? week : LATER_WEEKS + week)
  }
}

async function publish(scene: Scene, weekStartOn: string): Promise<void> {
  const today = addDays(weekStartOn, -3)
  const inputs = await weekInputs(scene.trx, answers.rotation, { group: scene.group, weekStartOn, today })
  await publishWeek(penOf(scene, WRITER, today, '20:05'), inputs!, planWeek(inputs!))
}

async function liveDay(life: Life, on: string): Promise<void> {
  const { scene, works, sands, metersM3 } = life
  const weather = scene.weather.find(({ onDate }) => onDate === on)!
  await writeWeather(scene, weather)
  if (weekdayOf(on) === 4) await readLevels(life, on)
  for (const { id: pumpId } of works.pumps) {
    const row = { pumpId, onDate: on, atTime: '06:15', moment: 'dawn', hourMeterH: null, remark: null }
    const meterM3 = Math.round(metersM3.get(pumpId)! * 10) / 10
    const head = { kind: 'pump-day-reading', happenedAt: `${on}T06:15:00.000Z` }
    await appendEntry(penOf(scene, ATTENDANT, on, '06:20'), head, { pumpDayReading: [{ ...row, meterM3 }] })
  }
  const drawnM3 = new Map(works.weirs.map(({ id }) => [id, DRINKING_M3 / 7]))
  const turns = await scene.trx.selectFrom('turn').selectAll().where('onDate', '=', on).orderBy('startMinute').execute()
  for (const turn of turns) {
    const weirId = works.pumps.find(({ id }) => id === turn.pumpId)!.weirId
    drawnM3.set(weirId, drawnM3.get(weirId)! + (await logTurn(life, { ...turn, weirId })))
  }
  for (const sand of sands) {
    if (weekdayOf(on) === SUNDAY) await logDrinking(scene, sand.weir.id, on)
    const recharge = weather.rainMm > 10 ? weather.rainMm / 60 : 0
    sand.passDay({ drawnM3: drawnM3.get(sand.weir.id)!, recharge })
  }
}

interface LoggedTurn {
  id: string
  weirId: Id<'weir'>
  pumpId: string
  outletId: string
  plotId: string | null
  onDate: string
  startMinute: number
  endMinute: number
  volumeM3: number
}

/** A turn as the meter tells it; now and then nobody comes. */
async function logTurn({ scene, works, metersM3 }: Life, turn: LoggedTurn): Promise<number> {
  const volumeM3 = Math.round(turn.volumeM3 * scene.chance.between(0.85, 1) * 100) / 100
  if (scene.chance.happens(0.03) || volumeM3 <= 0) return 0
  const openingM3 = metersM3.get(turn.pumpId)!
  const closingM3 = Math.round(((openingM3 + volumeM3) % METER_TURNS_AT_M3) * 100) / 100
  metersM3.set(turn.pumpId, closingM3)
  const { meterDigits } = works.pumps.find(({ id }) => id === turn.pumpId)!
  const readingStepM3 = Math.min(stepOf(openingM3), stepOf(closingM3))
  const read = measuredVolumeM3({ method: 'meter', openingM3, closingM3, meterDigits, readingStepM3 })
  const takerId = works.plots.find(({ id }) => id === turn.plotId)!.holders[0]!.id
  await addAbstraction(
    penOf(scene, ATTENDANT, turn.onDate, clock(turn.endMinute + 4)),
    {
      onDate: turn.onDate,
      use: 'irrigation',
      weirId: turn.weirId,
      pumpId: turn.pumpId,
      outletId: turn.outletId,
      plotId: turn.plotId,
      turnId: turn.id,
      takerId,
      method: 'meter',
      openingM3,
      closingM3,
      hours: null,
      flowM3PerH: null,
      startTime: clock(turn.startMinute),
      endTime: clock(turn.endMinute),
      volumeM3: read.volumeM3!,
      uncertaintyM3: read.uncertaintyM3!,
      grade: read.grade,
      remark: null,
    },
    { happenedAt: `${turn.onDate}T${clock(turn.startMinute)}:00.000Z`, forPersonId: takerId },
  )
  return volumeM3
}

async function logDrinking(scene: Scene, weirId: Id<'weir'>, onDate: string): Promise<void> {
  const drawn = measuredVolumeM3({ method: 'jerrycans', count: DRINKING_M3 * 50 })
  await addAbstraction(penOf(scene, ATTENDANT, onDate, '18:45'), {
    ...TOLD_AS_VOLUME,
    onDate,
    use: 'drinking',
    weirId,
    volumeM3: drawn.volumeM3!,
    uncertaintyM3: drawn.uncertaintyM3!,
    grade: drawn.grade,
    remark: null,
  })
}

async function writeWeather(scene: Scene, { onDate, tmaxC, tminC, rainMm }: Scene['weather'][number]): Promise<void> {
  await addWeatherDay(penOf(scene, ATTENDANT, onDate, '18:30'), { onDate, tmaxC, tminC, rainMm })
}

async function readLevels({ scene, sands }: Life, readOn: string): Promise<void> {
  for (const sand of sands)
    await addLevelReading(penOf(scene, ATTENDANT, readOn, '06:40'), {
      weirId: sand.weir.id,
      readOn,
      readAt: '06:05',
      happenedAt: `${readOn}T06:05:00.000Z`,
      depthCm: Math.round(sand.depthCm() + scene.chance.between(-0.6, 0.6)),
      readerId: scene.persons.get(ATTENDANT)!,
      pumpOffSinceAt: `${addDays(readOn, -1)}T17:00:00.000Z`,
      pumpRunning: false,
      flowSeen: false,
      remark: null,
    })
}

function clock(minute: number): string {
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
}
