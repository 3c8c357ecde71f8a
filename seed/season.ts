import { measuredVolumeM3 } from '../domain/abstractions/draw/measured-volume.ts'
import { addDays, type CalendarDate, datesFromTo, weekdayOf } from '../domain/calendar.ts'
import type { Id } from '../domain/id.ts'
import { checkWeek } from '../domain/rotation/draft/check.ts'
import { planWeek } from '../domain/rotation/draft/plan.ts'
import type { PlannedTurn } from '../domain/rotation/timetable/types.ts'
import type { M3 } from '../domain/units.ts'
import { stepOf } from '../server/abstractions/draw/measuring.ts'
import { addAbstraction, TOLD_AS_VOLUME } from '../server/abstractions/draw/store.ts'
import { answers } from '../server/answers.ts'
import { addNoTurnDay } from '../server/rotation/constraint/no-turn-store.ts'
import { weekInputs } from '../server/rotation/draft/inputs.ts'
import { publishWeek } from '../server/rotation/published/store.ts'
import { addLevelReading } from '../server/water/level/store.ts'
import { surveysOn } from '../server/water/sand/description-store.ts'
import { addWeatherDay } from '../server/water/weather/store.ts'
import { mendCable } from './cable.ts'
import { writeHarvests } from './harvest.ts'
import { keepMoney } from './money.ts'
import { changeRule } from './rule.ts'
import { HiddenSand } from './sand.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { joinTank } from './tank.ts'
import { PERSONS, TANK, USERS } from './valley.ts'
import type { SeedDay } from './weather.ts'
import { WorksBooks } from './works-books.ts'

const [CHAIR, SECRETARY] = [PERSONS[0]!.name, PERSONS[1]!.name]
const AUDITOR = PERSONS.find(({ roles }) => roles.includes('auditor'))!.name
const ATTENDANTS = PERSONS.filter((person) => person.roles.includes('attendant')).map((person) => person.name)
/** Weeks in which the book is begun with a full stream, a pump stands still, and a draw is forgotten. */
const BROKEN_WEEK = 10
/** From this week on a second version of the rule holds. */
const NEW_RULE_WEEK = 8
const FORGOTTEN = { week: 12, weir: 2, volumeM3: 14 }
const SUNDAY = 7

/** The season as the group lived it, day by day, written through the same stores as any other record. */
export async function liveSeason(scene: Scene, works: Works): Promise<void> {
  const surveys = await surveysOn(scene.trx, scene.today)
  const sands = works.weirs.map((weir) => new HiddenSand(weir, surveys.get(weir.id)!, weir.number === 4 ? 0.97 : 0.99))
  const books = new WorksBooks(scene, works, ATTENDANTS[0]!)
  const before = scene.weather.filter((day) => day.onDate < scene.group.seasonStartOn)
  for (const day of before) await writeWeather(scene, day)
  await readLevels(scene, sands, addDays(scene.group.seasonStartOn, -4))
  await books.begin(addDays(scene.group.seasonStartOn, -1))
  for (const [index, weekStartOn] of scene.weeks.entries()) {
    const plannedOn = addDays(weekStartOn, -3)
    await plan(scene, works, weekStartOn, plannedOn, index)
    for (const on of datesFromTo(weekStartOn, addDays(weekStartOn, 6))) {
      if (on >= scene.today) {
        const joining = { on: addDays(scene.today, -1), fromOn: addDays(weekStartOn, 7), by: SECRETARY, named: AUDITOR }
        return joinTank(scene, works, { tankId: books.tankId, ...joining })
      }
      const weather = scene.weather.find((day) => day.onDate === on)!
      await writeWeather(scene, weather)
      // Levels are read at dawn on Thursday, before the pumps start.
      if (weekdayOf(on) === 4) await readLevels(scene, sands, on)
      await books.atDawn(on)
      const drawn = await drawOfDay({ scene, works, books, on, weather, index, weekStartOn })
      await books.atDusk(on)
      for (const sand of sands) {
        const recharge = weather.rainMm > 10 ? weather.rainMm / 60 : 0
        sand.passDay({ drawnM3: drawn.get(sand.weir.id) ?? 0, recharge })
      }
      if (index === BROKEN_WEEK && on === addDays(weekStartOn, 2)) await mendCable(scene, works, on)
    }
    await writeHarvests(scene, addDays(weekStartOn, 5))
    await keepMoney(scene, addDays(weekStartOn, 6), index)
  }
}

async function writeWeather(scene: Scene, { onDate, tmaxC, tminC, rainMm }: SeedDay): Promise<void> {
  const pen = penOf(scene, ATTENDANTS[0]!, onDate, '18:30')
  await addWeatherDay(pen, { onDate, tmaxC, tminC, rainMm })
}

async function readLevels(scene: Scene, sands: readonly HiddenSand[], on: string): Promise<void> {
  const reader = scene.chance.pick(ATTENDANTS)
  for (const sand of sands) {
    const pen = penOf(scene, reader, on, '06:40')
    await addLevelReading(pen, {
      weirId: sand.weir.id,
      readOn: on,
      readAt: '06:05',
      happenedAt: `${on}T06:05:00.000Z`,
      depthCm: Math.round(sand.depthCm() + scene.chance.between(-0.6, 0.6)),
      readerId: scene.persons.get(reader)!,
      pumpOffSinceAt: `${addDays(on, -1)}T17:00:00.000Z`,
      pumpRunning: false,
      flowSeen: false,
      remark: null,
    })
  }
}

async function plan(
  scene: Scene,
  works: Works,
  weekStartOn: CalendarDate,
  plannedOn: CalendarDate,
  index: number,
): Promise<void> {
  const pen = () => penOf(scene, SECRETARY, plannedOn, '19:10')
  if (index === NEW_RULE_WEEK) await changeRule(scene, works, weekStartOn, plannedOn)
  await addNoTurnDay(pen(), { onDate: addDays(weekStartOn, 6), pumpId: null, words: 'a day off, agreed for this week' })
  if (index === BROKEN_WEEK) {
    const pumpId = works.pumps[1]!.id
    await addNoTurnDay(pen(), { onDate: addDays(weekStartOn, 2), pumpId, words: 'cable of the Hem pump being mended' })
  }
  const inputs = await weekInputs(scene.trx, answers.rotation, { group: scene.group, weekStartOn, today: plannedOn })
  if (!inputs) throw new Error('the example has no sharing rule')
  const results = planWeek(inputs)
  const problems = checkWeek(inputs, results)
  if (problems.length > 0) throw new Error(`the week of ${weekStartOn} does not stand: ${JSON.stringify(problems)}`)
  await publishWeek(penOf(scene, CHAIR, plannedOn, '20:05'), inputs, results)
}

interface Day {
  scene: Scene
  works: Works
  books: WorksBooks
  on: string
  weather: SeedDay
  index: number
  weekStartOn: CalendarDate
}

/** Everything drawn on one day, logged but for the one draw that was forgotten; gives the true volumes by weir. */
async function drawOfDay(day: Day): Promise<Map<string, number>> {
  const { scene, works, on, index, weekStartOn } = day
  const drawn = new Map<string, number>()
  const add = (weirId: Id<'weir'>, volumeM3: M3) => drawn.set(weirId, (drawn.get(weirId) ?? 0) + volumeM3)
  const turns = await turnsOf(day)
  for (const turn of turns) add(turn.weirId, await logTurn(day, turn))
  for (const weir of works.weirs) {
    const litres = USERS[weir.number]!.reduce((sum, user) => sum + user.heads * user.litresPerHeadDay, 0)
    add(weir.id, litres / 1000)
    if (weekdayOf(on) === SUNDAY && weir.number !== TANK.pump)
      await logDrinking(scene, weir.id, on, (litres * 7) / 1000)
  }
  if (index === FORGOTTEN.week && on === addDays(weekStartOn, 1)) {
    add(works.weirs[FORGOTTEN.weir - 1]!.id, FORGOTTEN.volumeM3)
  }
  return drawn
}

type SeedTurn = Pick<PlannedTurn, 'outletId' | 'pumpId' | 'plotId' | 'startMinute' | 'endMinute' | 'volumeM3'> & {
  id: string
  weirId: Id<'weir'>
}

async function turnsOf({ scene, works, on }: Day): Promise<SeedTurn[]> {
  const rows = await scene.trx.selectFrom('turn').selectAll().where('onDate', '=', on).orderBy('startMinute').execute()
  return rows.map((row) => ({
    id: row.id,
    outletId: row.outletId,
    pumpId: row.pumpId,
    plotId: row.plotId!,
    startMinute: row.startMinute,
    endMinute: row.endMinute,
    volumeM3: row.volumeM3,
    weirId: works.pumps.find((pump) => pump.id === row.pumpId)!.weirId,
  }))
}

const NOTHING_MORE = { standIn: null, events: [], tool: null, seconds: [] }
const SKY_PART = { clear: [0.92, 1], half: [0.7, 0.85], dull: [0.35, 0.55] } as const

/** One turn as the attendant logs it; now and then nobody comes, and on dull days less comes. */
async function logTurn({ scene, works, books, on, weather }: Day, turn: SeedTurn): Promise<number> {
  if (scene.chance.happens(0.03)) return 0
  const [low, high] = SKY_PART[weather.sky]
  const volumeM3 = Math.round(turn.volumeM3 * scene.chance.between(low, high) * 100) / 100
  if (volumeM3 <= 0) return 0
  const pump = works.pumps.find((one) => one.id === turn.pumpId)!
  const openingM3 = books.meters.get(pump.number)!
  const closingM3 = Math.round((openingM3 + volumeM3) * 100) / 100
  books.meters.set(pump.number, closingM3)
  const { meterDigits } = pump
  const readingStepM3 = Math.min(stepOf(openingM3), stepOf(closingM3))
  const read = measuredVolumeM3({ method: 'meter', openingM3, closingM3, meterDigits, readingStepM3 })
  const plot = works.plots.find((one) => one.id === turn.plotId)!
  const pen = penOf(scene, ATTENDANTS[pump.number % ATTENDANTS.length]!, on, clock(turn.endMinute + 4))
  await addAbstraction(
    pen,
    {
      onDate: on,
      use: 'irrigation',
      weirId: turn.weirId,
      pumpId: turn.pumpId,
      outletId: turn.outletId,
      plotId: turn.plotId,
      turnId: turn.id,
      takerId: plot.holders[0]!.id,
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
      remark: weather.sky === 'dull' ? 'dull sky, pump weak' : null,
      more: { ...NOTHING_MORE, sky: weather.sky, slipNo: books.nextSlip(pump.number) },
    },
    { happenedAt: `${on}T${clock(turn.startMinute)}:00.000Z`, forPersonId: plot.holders[0]!.id },
  )
  return volumeM3
}

async function logDrinking(scene: Scene, weirId: Id<'weir'>, on: string, volumeM3: M3): Promise<void> {
  const counted = Math.round(volumeM3 * 50)
  const drawn = measuredVolumeM3({ method: 'jerrycans', count: counted })
  await addAbstraction(penOf(scene, ATTENDANTS[0]!, on, '18:45'), {
    ...TOLD_AS_VOLUME,
    onDate: on,
    use: 'drinking',
    weirId,
    volumeM3: drawn.volumeM3!,
    uncertaintyM3: drawn.uncertaintyM3!,
    grade: drawn.grade,
    remark: 'people and animals, the week by count',
  })
}

function clock(minute: number): string {
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
}
