import {
  type PumpBalance,
  type PumpLine,
  type PumpLineKind,
  pumpBalance,
} from '../../../domain/abstractions/balance/pump-balance.ts'
import { pumpedOver, type Stretch, tankRises } from '../../../domain/abstractions/balance/pump-days.ts'
import { tankDrawDay } from '../../../domain/abstractions/balance/tank-draws.ts'
import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { DawnOrDusk } from '../../../domain/works/readings.ts'
import { kept } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { exchangedAlone, exchangedInDraws, metersSince } from '../../works/meter/store.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { tankOutlets } from '../../works/tank/outlet-store.ts'
import { listTanks, pumpReadingRows, pumpReadings, tankReadingRows, timedTankReadings } from '../../works/tank/store.ts'
import { closingRows, listClosings } from '../closing/store.ts'
import { type Abstraction, drawsOfDays, listAbstractions } from '../draw/store.ts'
import type { Use } from '../draw/types.ts'

const KIND: Record<Use, PumpLineKind> = {
  irrigation: 'outlets',
  other: 'outlets',
  drinking: 'stand',
  stock: 'trough',
  flushing: 'flushing',
}
/** Pump meters are read to a tenth of a cubic metre at dawn and dusk (common practice, no source). */
const READING_STEP_M3 = 0.1
/** Half a step at each end of a day. */
const READING_ERROR_M3 = Math.hypot(READING_STEP_M3 / 2, READING_STEP_M3 / 2)

export interface PumpWater {
  pump: Pump
  balance: PumpBalance
  daysRead: number
  /** Days whose meter was not read at both ends: their water is on neither side. */
  daysLeftOut: string[]
  /** Tanks that were not read at an end of the meter's stretches, and at how many of them. */
  tanksUnread: { number: number; name: string; unread: number }[]
}

/** Each pump's own water in a span, and all of them together; only days read at both ends are reckoned. */
export function pumpWater(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return kept(db, 'water of the pumps', { fromOn, toOn }, () => reckonPumpWater(db, { fromOn, toOn }))
}

async function reckonPumpWater(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  const span = { fromOn, toOn: addDays(toOn, 1) }
  readAhead(
    db,
    closingRows(db),
    pumpReadingRows(db, span),
    tankReadingRows(db, span),
    drawsOfDays(db, span),
    exchangedAlone(db, fromOn),
    exchangedInDraws(db, fromOn),
  )
  const meters = [...(await readAtClosing(db)), ...(await pumpReadings(db, span))]
  const levels = await timedTankReadings(db, span)
  const draws = await drawsByMeterDay(db, span, levels)
  const tanks = await listTanks(db)
  const lines: PumpLine[] = []
  const pumps: PumpWater[] = []
  const known = await metersSince(db, fromOn)
  for (const pump of await listPumps(db, toOn)) {
    const readings = meters.filter((one) => one.pumpId === pump.id)
    const passed = pumpedOver({ readings, readingStepM3: READING_STEP_M3, ...known.get(pump.id)! })
    // A closing of later days ends a day that begins where the span ends.
    const pumped = passed.filter(({ untilOn }) => untilOn <= span.toOn)
    const read = new Set(pumped.flatMap(({ on, untilOn }) => datesFromTo(on, addDays(untilOn, -1))))
    const own = draws.filter((draw) => draw.pumpId === pump.id)
    const ofTanks = tanks
      .filter((tank) => tank.pumpId === pump.id)
      .map(({ id, number, name, areaM2, heightM }) => {
        const ownLevels = levels.filter((one) => one.tankId === id)
        return { number, name, ...tankRises({ readings: ownLevels, areaM2, heightM, tankId: id, stretches: pumped }) }
      })
    const ofPump: PumpLine[] = [
      ...pumped.map(({ on, volumeM3, uncertaintyM3 }) => ({
        on,
        volumeM3,
        uncertaintyM3,
        ...byMeter(pump),
        kind: 'pumped' as const,
      })),
      ...own.filter((draw) => read.has(draw.onDate)).map((draw) => lineOf(draw, pumped)),
      ...ofTanks.flatMap(({ rises }) => rises.map((rise) => ({ ...rise, kind: 'tank-rise' as const }))),
    ]
    lines.push(...ofPump)
    const seenOn = [...readings.map(({ on }) => on), ...own.map(({ onDate }) => onDate)].filter((on) => on >= fromOn)
    const [firstOn, lastOn] = [seenOn.toSorted()[0], [...seenOn.toSorted().slice(-1), toOn].toSorted()[0]]
    const seenDays = firstOn && lastOn ? datesFromTo(firstOn, lastOn) : []
    const tanksUnread = ofTanks.flatMap(({ number, name, unread }) => (unread > 0 ? [{ number, name, unread }] : []))
    const daysLeftOut = seenDays.filter((on) => !read.has(on))
    pumps.push({ pump, balance: pumpBalance({ lines: ofPump }), daysRead: read.size, daysLeftOut, tanksUnread })
  }
  return { pumps, all: pumpBalance({ lines }) }
}

/** What the meter showed when a day was closed ends that day too, unless dusk or the next dawn was read apart. */
async function readAtClosing(db: Database): Promise<(DawnOrDusk & { pumpId: Id<'pump'> })[]> {
  return (await listClosings(db)).flatMap(({ pumpId, toOn, meterM3 }) =>
    meterM3 === null ? [] : [{ pumpId, on: toOn, moment: 'dusk' as const, reading: meterM3 }],
  )
}

/** The draws with the day of the balance that each belongs to: by gravity a draw before dawn is the day before's. */
async function drawsByMeterDay(
  db: Database,
  span: { fromOn: CalendarDate; toOn: CalendarDate },
  levels: Awaited<ReturnType<typeof timedTankReadings>>,
): Promise<Abstraction[]> {
  const fedOn = await tankOutlets(db)
  return (await listAbstractions(db, span)).flatMap((draw) => {
    const tankId = draw.outletId && fedOn(draw.onDate).get(draw.outletId)?.tankId
    if (!tankId) return draw.onDate < span.toOn ? [draw] : []
    const ofTank = levels.filter((one) => one.tankId === tankId)
    const onDate = tankDrawDay({ on: draw.onDate, startTime: draw.startTime ?? draw.endTime, levels: ofTank })
    return onDate !== null && onDate < span.toOn ? [{ ...draw, onDate }] : []
  })
}

function byMeter({ id }: Pump) {
  return { toolId: `meter ${id}`, readingErrorM3: READING_ERROR_M3 }
}

/**
 * Turns read on the pump's own meter share its error, so it is not counted twice. A draw stands on the first day of the stretch
 * in which it fell, beside what the meter passed over all of it.
 */
function lineOf(draw: Abstraction, stretches: readonly Stretch[]): PumpLine {
  const { on = draw.onDate } = stretches.find((one) => one.on <= draw.onDate && draw.onDate < one.untilOn) ?? {}
  const sharesMeter = draw.method === 'meter' && draw.grade === 'measured'
  return {
    on,
    kind: KIND[draw.use],
    volumeM3: draw.volumeM3,
    uncertaintyM3: draw.uncertaintyM3,
    ...(sharesMeter ? { toolId: `meter ${draw.pumpId}` } : {}),
  }
}

/** Fewer days of a meter tell nothing of a season's log. Own choice, no source. */
const METER_DAYS_NEEDED = 10

/** What the meters of a weir's pumps showed, as times what their turns add up to, over the days read at both ends. */
export async function metersOverLog(
  db: Database,
  weirId: Id<'weir'>,
  span: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<number | null> {
  const { pumps } = await pumpWater(db, span)
  const own = pumps.filter(({ pump, daysRead }) => pump.weirId === weirId && daysRead >= METER_DAYS_NEEDED)
  const pumpedM3 = sum(own, ({ balance }) => balance.pumpedM3)
  const loggedM3 = pumpedM3 - sum(own, ({ balance }) => balance.unexplainedM3)
  return loggedM3 > 0 ? pumpedM3 / loggedM3 : null
}
