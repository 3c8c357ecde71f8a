import { ascending } from 'd3-array'
import { type CalendarDate, daysBetween } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import { dailyLossM3 } from '../loss/loss.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3, likelyStorageM3 } from '../sand/storage.ts'
import type { BalanceInput, BalanceReading, BalanceWeir } from './input.ts'

type StretchReason =
  | 'flow-noted'
  | 'rain-above-mark'
  | 'above-crest'
  | 'loss-unknown'
  | 'rain-not-written'
  | 'bank-return'

export interface BalanceStretch {
  weirId: Id<'weir'>
  fromOn: CalendarDate
  toOn: CalendarDate
  days: number
  kind: 'dry' | 'wet' | 'not-reckoned'
  openingLevelM: number
  closingLevelM: number
  openingM3: M3
  closingM3: M3
  /** Fall in storage; below zero when it rose. */
  fallM3: M3
  drawnM3: M3
  lossM3: M3
  /** The part of the loss that is sent to the weir below. */
  leakToBelowM3: M3
  spilledM3: M3
  leakFromAboveM3: M3
  spillFromAboveM3: M3
  rechargeM3: M3
  unexplainedM3: M3
  notReckonedM3: M3
  /** What the range of the specific yield, the readings and the meters together can hide. */
  toleranceM3: M3
  withinTolerance: boolean
  /** What the error of each reading hides, the closing one again in the stretch that begins with it. */
  openingErrorM3: M3
  closingErrorM3: M3
  toleranceParts: { yieldLowM3: M3; yieldHighM3: M3; levelM3: M3; meterM3: M3 }
  reasons: StretchReason[]
}

interface WeirContext {
  weir: BalanceWeir
  /** The stretches of the weirs that feed this one. */
  upstream: BalanceStretch[]
  spillsAbove: BalanceInput['spills']
  input: BalanceInput
}

/** The rows of one weir, one for every pair of readings that follow each other. */
export function weirStretches(context: WeirContext): BalanceStretch[] {
  const readings = reckonableReadings(context.weir)
  const abstractions = context.input.abstractions.filter(({ weirId }) => weirId === context.weir.weirId)
  const own = { ...context, input: { ...context.input, abstractions } }
  return readings.slice(1).map((closing, index) => stretch(own, readings[index]!, closing))
}

/** One reading a day, the first, in order of date; none from before the sand was described. */
export function reckonableReadings({ readings, bodies }: BalanceWeir): BalanceReading[] {
  const first = bodies[0]
  if (!first) return []
  const sorted = readings.filter(({ readOn }) => readOn >= first.fromOn).sort((a, b) => ascending(a.readOn, b.readOn))
  return sorted.filter(({ readOn }, index) => readOn !== sorted[index - 1]?.readOn)
}

/** The sand body that held on the day. Throws a RangeError when none did. */
export function bodyOn({ bodies }: BalanceWeir, date: CalendarDate): SandBody {
  const held = bodies.filter(({ fromOn }) => fromOn <= date).at(-1)
  if (!held) throw new RangeError(`no sand body on ${date}`)
  return held.body
}

function stretch(context: WeirContext, opening: BalanceReading, closing: BalanceReading): BalanceStretch {
  const { weir, input } = context
  const [fromOn, toOn] = [opening.readOn, closing.readOn]
  const isWithin = (date: CalendarDate) => fromOn <= date && date < toOn
  const body = bodyOn(weir, fromOn)
  const [before, after] = [opening, closing].map(({ waterLevelM }) => drainableStorageM3({ body, waterLevelM })) as [
    Stored,
    Stored,
  ]
  const days = daysBetween(fromOn, toOn)
  const draws = input.abstractions.filter((draw) => isWithin(draw.drawnOn))
  const meanLevelM = (opening.waterLevelM + closing.waterLevelM) / 2
  const lossM3 = weir.loss ? dailyLossM3({ body, waterLevelM: meanLevelM, loss: weir.loss }) * days : 0
  const flows = {
    fallM3: before.likelyM3 - after.likelyM3,
    drawnM3: sum(draws.map((draw) => draw.volumeM3)),
    lossM3,
    leakToBelowM3: weir.feedsWeirId === null ? 0 : Math.max(0, lossM3) * weir.leakShare,
    spilledM3: sum(
      input.spills.filter((s) => s.weirId === weir.weirId && isWithin(s.spilledOn)).map((s) => s.volumeM3),
    ),
    leakFromAboveM3: sum(context.upstream.map((above) => leakWithin(above, fromOn, toOn))),
    spillFromAboveM3: sum(context.spillsAbove.filter((s) => isWithin(s.spilledOn)).map((s) => s.volumeM3)),
  }
  const { kind, reasons } = wetOrDry(context, opening, closing, before.aboveCrest || after.aboveCrest)
  const remainder = named(kind, flows)
  const [openingErrorM3, closingErrorM3] = [levelDoubtM3(body, opening), levelDoubtM3(body, closing)]
  const toleranceParts = {
    yieldLowM3: before.lowM3 - after.lowM3 - flows.fallM3,
    yieldHighM3: before.highM3 - after.highM3 - flows.fallM3,
    levelM3: Math.hypot(openingErrorM3, closingErrorM3),
    meterM3: Math.hypot(...draws.map((draw) => draw.errorM3)),
  }
  const toleranceM3 = combinedToleranceM3(toleranceParts, remainder.unexplainedM3)
  return {
    weirId: weir.weirId,
    fromOn,
    toOn,
    days,
    kind,
    openingLevelM: opening.waterLevelM,
    closingLevelM: closing.waterLevelM,
    openingM3: before.likelyM3,
    closingM3: after.likelyM3,
    ...flows,
    ...remainder,
    toleranceM3,
    withinTolerance: Math.abs(remainder.unexplainedM3) <= toleranceM3,
    openingErrorM3,
    closingErrorM3,
    toleranceParts,
    reasons: lossM3 < 0 ? [...reasons, 'bank-return'] : reasons,
  }
}

type Stored = ReturnType<typeof drainableStorageM3>

/**
 * What yield, readings and meters can hide of what is unexplained, m3. Of the sand's doubt only the end counts towards which
 * more or less water would explain it; the kinds of doubt are combined as the root of their summed squares.
 */
export function combinedToleranceM3(
  { yieldLowM3, yieldHighM3, levelM3, meterM3 }: BalanceStretch['toleranceParts'],
  unexplainedM3: M3,
): number {
  const [least, most] = [Math.min(0, yieldLowM3, yieldHighM3), Math.max(0, yieldLowM3, yieldHighM3)]
  const yieldM3 = unexplainedM3 > 0 ? -least : unexplainedM3 < 0 ? most : Math.max(-least, most)
  return Math.hypot(yieldM3, levelM3, meterM3)
}

type Flows = Pick<
  BalanceStretch,
  'fallM3' | 'drawnM3' | 'lossM3' | 'spilledM3' | 'leakFromAboveM3' | 'spillFromAboveM3'
>

/** Puts what is left over under its one name: recharge, unexplained or not reckoned. */
function named(kind: BalanceStretch['kind'], flows: Flows) {
  const fedM3 = flows.leakFromAboveM3 + flows.spillFromAboveM3
  const missingM3 = flows.fallM3 + fedM3 - flows.drawnM3 - flows.lossM3 - flows.spilledM3
  const gainedM3 = missingM3 === 0 ? 0 : -missingM3
  if (kind === 'not-reckoned') return { rechargeM3: 0, unexplainedM3: 0, notReckonedM3: gainedM3 }
  if (kind === 'wet' && gainedM3 >= 0) return { rechargeM3: gainedM3, unexplainedM3: 0, notReckonedM3: 0 }
  return { rechargeM3: 0, unexplainedM3: missingM3, notReckonedM3: 0 }
}

function wetOrDry({ weir, input }: WeirContext, opening: BalanceReading, closing: BalanceReading, aboveCrest: boolean) {
  const reasons: StretchReason[] = []
  const rain = input.rain.filter(
    ({ fellOn, weirId }) =>
      opening.readOn <= fellOn && fellOn < closing.readOn && (weirId === undefined || weirId === weir.weirId),
  )
  if (opening.flowNoted || closing.flowNoted) reasons.push('flow-noted')
  if (rain.some(({ rainMm }) => rainMm > input.rainMarkMm)) reasons.push('rain-above-mark')
  const kind: BalanceStretch['kind'] = aboveCrest ? 'not-reckoned' : reasons.length > 0 ? 'wet' : 'dry'
  if (aboveCrest) reasons.push('above-crest')
  if (!weir.loss) reasons.push('loss-unknown')
  const daysWithRain = new Set(rain.map(({ fellOn }) => fellOn)).size
  if (daysWithRain < daysBetween(opening.readOn, closing.readOn)) reasons.push('rain-not-written')
  return { kind, reasons }
}

/** Of a leak spread evenly over the days of its stretch, the part that falls between two dates. */
function leakWithin(above: BalanceStretch, fromOn: CalendarDate, toOn: CalendarDate): number {
  const first = above.fromOn > fromOn ? above.fromOn : fromOn
  const last = above.toOn < toOn ? above.toOn : toOn
  return (above.leakToBelowM3 * Math.max(0, daysBetween(first, last))) / above.days
}

function levelDoubtM3(body: SandBody, { waterLevelM, levelErrorCm }: BalanceReading): number {
  const errorM = levelErrorCm / 100
  return (likelyStorageM3(body, waterLevelM + errorM) - likelyStorageM3(body, waterLevelM - errorM)) / 2
}
