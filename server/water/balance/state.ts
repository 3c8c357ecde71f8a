import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { waterBalance } from '../../../domain/water/balance/balance.ts'
import {
  type BalanceInput,
  type BalanceReading,
  type BalanceWeir,
  USUAL_RAIN_MARK_MM,
} from '../../../domain/water/balance/input.ts'
import { type SteadyLoss, steadyLoss } from '../../../domain/water/balance/steady-loss.ts'
import type { BalanceStretch } from '../../../domain/water/balance/stretches.ts'
import type { BalanceTotals } from '../../../domain/water/balance/totals.ts'
import { readingDoubt } from '../../../domain/water/level.ts'
import { kept, lettingOthersIn } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import type { WaterAsks, WeirDraw } from '../asks.ts'
import { levelReadingOf, listReadings, type Reading } from '../level/store.ts'
import { bodyOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys } from '../sand/description-store.ts'
import { waterSettingOn } from '../users/store.ts'
import { listWeirs, type Weir } from '../weir/store.ts'

export interface WeirBalance {
  weir: Weir
  stretches: BalanceStretch[]
  totals: BalanceTotals
  /** What the dry stretches show together; null with too few. */
  steady: SteadyLoss | null
  /** Readings that count; with fewer than two there is no stretch to reckon. */
  readings: number
  hasSurvey: boolean
  lossCmPerDay: number | null
}

export interface SeasonBalance {
  fromOn: CalendarDate
  toOn: CalendarDate
  weirs: WeirBalance[]
  group: BalanceTotals
  rainMarkMm: number
  /** False when the group has set no mark and the usual one stands in. */
  isRainMarkSet: boolean
  abstractions: WeirDraw[]
}

/**
 * The water of the season so far, weir by weir between one reading and the next, and in total. Each weir feeds the next
 * one down the stream; no leak is sent there, since nobody has measured one, and spills are not written down.
 */
export function seasonBalance(db: Database, asks: WaterAsks, asked: BalanceAsked): Promise<SeasonBalance> {
  return kept(db, 'balance of the season', asked, () => reckonBalance(db, asks, asked))
}

interface BalanceAsked {
  group: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate }
  on: CalendarDate
  /** Of the group's weeks, in which a steady loss is told; seven where left out. */
  daysInWeek?: number
}

async function reckonBalance(db: Database, asks: WaterAsks, asked: BalanceAsked): Promise<SeasonBalance> {
  const { group, on, daysInWeek = 7 } = asked
  const fromOn = group.seasonStartOn
  const toOn = [on, group.seasonEndOn].toSorted()[0]!
  const weirs = await listWeirs(db)
  const surveys = await listSurveys(db)
  const readings = await listReadings(db, { fromOn, toOn })
  const setting = await waterSettingOn(db, toOn)
  const abstractions = await asks.draws(db, { fromOn, toOn })
  const rainMarkMm = setting?.wetRainMm ?? USUAL_RAIN_MARK_MM
  const inputs = weirs.map((weir, at) => weirInput({ weir, below: weirs[at + 1], surveys, readings, toOn }))
  const balance = waterBalance({
    weirs: inputs,
    abstractions: abstractions.map(drawOf),
    spills: [],
    rain: rainOf(await asks.rainDays(db, { fromOn, toOn })),
    rainMarkMm,
  })
  const steady: (SteadyLoss | null)[] = []
  for (const { weirId, loss } of inputs) {
    await lettingOthersIn()
    const stretches = balance.stretches.filter((stretch) => stretch.weirId === weirId)
    // Without a settled loss the sand's own would be taken for one that nobody logged.
    steady.push(loss && steadyLoss(stretches, daysInWeek))
  }
  return {
    fromOn,
    toOn,
    weirs: weirs.map((weir, at) => ({
      weir,
      stretches: balance.stretches.filter((stretch) => stretch.weirId === weir.id),
      steady: steady[at] ?? null,
      totals: balance.weirs[at]!,
      readings: inputs[at]!.readings.length,
      hasSurvey: inputs[at]!.bodies.length > 0,
      lossCmPerDay: lossOn(surveys, weir.id, toOn),
    })),
    group: balance.group,
    rainMarkMm,
    isRainMarkSet: setting !== null,
    abstractions,
  }
}

interface WeirBook {
  weir: Weir
  below: Weir | undefined
  surveys: readonly WeirSurvey[]
  readings: readonly Reading[]
  toOn: CalendarDate
}

function weirInput({ weir, below, surveys, readings, toOn }: WeirBook): BalanceWeir {
  const fallCmPerDay = lossOn(surveys, weir.id, toOn)
  return {
    weirId: weir.id,
    feedsWeirId: below?.id ?? null,
    bodies: surveys
      .filter((survey) => survey.weirId === weir.id)
      .map((survey) => ({ fromOn: survey.fromOn, body: bodyOf(survey) })),
    loss: fallCmPerDay === null ? null : { fallCmPerDay },
    leakShare: 0,
    readings: readings.filter((reading) => reading.weirId === weir.id).flatMap(balanceReading),
  }
}

/** A reading from before the sand was described has no level and does not count. */
function balanceReading(reading: Reading): BalanceReading[] {
  if (reading.waterLevelM === null) return []
  const { levelErrorCm } = readingDoubt({ ...levelReadingOf(reading), ageDays: 0 })
  return [{ readOn: reading.readOn, waterLevelM: reading.waterLevelM, levelErrorCm, flowNoted: reading.flowSeen }]
}

/** The loss that the group last settled on; null while nobody has measured one. */
function lossOn(surveys: readonly WeirSurvey[], weirId: Id<'weir'>, on: CalendarDate): number | null {
  return surveys.filter((survey) => survey.weirId === weirId && survey.fromOn <= on).at(-1)?.lossCmPerDay ?? null
}

function drawOf({ weirId, onDate, volumeM3, uncertaintyM3 }: WeirDraw): BalanceInput['abstractions'][number] {
  return { weirId, drawnOn: onDate, volumeM3, errorM3: uncertaintyM3 }
}

function rainOf(days: Awaited<ReturnType<WaterAsks['rainDays']>>): BalanceInput['rain'] {
  return days.flatMap((day) => (day.rainMm === null ? [] : [{ fellOn: day.onDate, rainMm: day.rainMm }]))
}
