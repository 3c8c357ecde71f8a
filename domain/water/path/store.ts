import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3, type VolumeRangeM3 } from '../sand/storage.ts'
import { type LevelCurve, type LossByLevel, lossByLevelM3 } from './loss-by-level.ts'
import { type LossFromRests, lossFromRestsM3 } from './loss-from-rests.ts'

/** One weir's store reduced to what a daily step needs: loss and level by stored volume, on an even grid. */
export interface StorageModel {
  capacityM3: M3
  /** Drainable water, m3, that lies below the mouth of the off-take. */
  offTakeM3: M3
  /** Stored volume, m3, under which no plan goes: the off-take and a margin above it. */
  floorM3: M3
  lossM3: Float64Array
  levelM: Float64Array
  /** Times the loss by level, at least 1; see `lossRise`. */
  rise: number
}

/** A volume that the group settled on for every day, in m3, the measured fall told by level, or all its rests. */
export type StoreLoss = { dailyM3: M3 } | LossByLevel | LossFromRests

interface StorageModelInput {
  body: SandBody
  offTakeLevelM: number
  /** How far the level reading may be off, cm. */
  levelErrorCm?: number
  loss: StoreLoss
  rise?: number
  curve?: keyof VolumeRangeM3
}

const CELLS = 400
const LEVELS = 500
/** A pump's mouth draws air before the last centimetres are gone. Common practice, no source. */
const FLOOR_MARGIN_CM = 5

/**
 * Builds the model on the low, the likely or the high curve; volumes in m3, levels in m. The floor is what stands at
 * the off-take and 5 cm more, or the error of the reading where that is larger.
 */
export function storageModel(input: StorageModelInput): StorageModel {
  const { body, offTakeLevelM, levelErrorCm = 0, rise = 1, curve = 'likelyM3' } = input
  const { bedLevelM, crestLevelM } = body
  const storedM3 = (waterLevelM: number) => drainableStorageM3({ body, waterLevelM })[curve]
  // The curve is worked out once, every few millimetres; between those it is as good as straight.
  const stepM = (crestLevelM - bedLevelM) / LEVELS
  const curveM3 = Float64Array.from({ length: LEVELS + 1 }, (_, i) => storedM3(bedLevelM + i * stepM))
  const capacityM3 = curveM3[LEVELS]!
  const lossAtM3 = lossByLevel(input, (levelM) => straightBetween(curveM3, (levelM - bedLevelM) / stepM))
  const levelM = new Float64Array(CELLS + 1)
  const lossM3 = new Float64Array(CELLS + 1)
  let index = 0
  for (let cell = 0; cell <= CELLS; cell++) {
    const targetM3 = (cell / CELLS) * capacityM3
    while (index < LEVELS - 1 && curveM3[index + 1]! < targetM3) index++
    const gapM3 = curveM3[index + 1]! - curveM3[index]!
    const place = index + (gapM3 > 0 ? Math.max(0, targetM3 - curveM3[index]!) / gapM3 : 0)
    levelM[cell] = bedLevelM + place * stepM
    lossM3[cell] = lossAtM3(levelM[cell]!)
  }
  const marginM = Math.max(FLOOR_MARGIN_CM, levelErrorCm) / 100
  const offTakeM3 = storedM3(Math.min(offTakeLevelM, crestLevelM))
  const floorM3 = storedM3(Math.min(offTakeLevelM + marginM, crestLevelM))
  return { capacityM3, offTakeM3, floorM3, lossM3, levelM, rise }
}

function lossByLevel({ body, loss }: StorageModelInput, storedM3: (levelM: number) => number) {
  if ('dailyM3' in loss) return () => Math.max(0, loss.dailyM3)
  const curve = levelCurve(body, storedM3)
  return 'rests' in loss ? lossFromRestsM3(curve, loss) : lossByLevelM3(curve, loss)
}

/** A body as the loss looks at it, by its likely curve unless another is given; levels in m, volumes in m3. */
export function levelCurve(
  body: SandBody,
  storedM3 = (waterLevelM: number) => drainableStorageM3({ body, waterLevelM }).likelyM3,
): LevelCurve {
  const { bedLevelM, crestLevelM, layers } = body
  return { bedLevelM, crestLevelM, specificYield: layers[0]!.specificYield.likely, storedM3 }
}

/** What the sand loses in a day, m3, at a stored volume; never more than it holds. */
export function dailyLossAtM3(store: StorageModel, storedM3: M3): number {
  return Math.min(store.rise * atStorage(store.lossM3, store.capacityM3, storedM3), storedM3)
}

/** Water level, m, at a stored volume. */
export function levelAtM(store: StorageModel, storedM3: M3): number {
  return atStorage(store.levelM, store.capacityM3, storedM3)
}

function atStorage(grid: Float64Array, capacityM3: M3, storageM3: M3): number {
  return straightBetween(grid, capacityM3 > 0 ? (storageM3 / capacityM3) * CELLS : 0)
}

interface DayFlows {
  /** Rain water that soaks in, before the space left is looked at. */
  rechargeM3: M3
  fedFromAboveM3: M3
  drinkingM3: M3
  irrigationM3: M3
  leakShare: number
}

interface DayResult {
  storageM3: M3
  lossM3: M3
  spilledM3: M3
  toBelowM3: M3
  drinkingM3: M3
  irrigationM3: M3
}

/**
 * One day of one weir, by continuity, all in m3: what comes in, as far as there is space; what is lost; what people and
 * animals drink, by hand once the off-take is dry; what irrigation draws above the off-take. No step makes water.
 */
export function stepDay(model: StorageModel, openingM3: M3, flows: DayFlows): DayResult {
  const filledM3 = openingM3 + flows.rechargeM3 + flows.fedFromAboveM3
  let storageM3 = Math.min(filledM3, model.capacityM3)
  const spilledM3 = filledM3 - storageM3
  const lossM3 = dailyLossAtM3(model, storageM3)
  storageM3 -= lossM3
  const drinkingM3 = Math.min(flows.drinkingM3, storageM3)
  storageM3 -= drinkingM3
  const irrigationM3 = Math.min(flows.irrigationM3, Math.max(0, storageM3 - model.offTakeM3))
  storageM3 -= irrigationM3
  return {
    storageM3,
    lossM3,
    spilledM3,
    toBelowM3: spilledM3 + flows.leakShare * Math.max(0, lossM3),
    drinkingM3,
    irrigationM3,
  }
}

/** Weirs so ordered that each comes after those that feed it. */
export function fromHeadDown<W extends { weirId: Id<'weir'>; feedsWeirId: Id<'weir'> | null }>(
  weirs: readonly W[],
): W[] {
  const ordered: W[] = []
  let waiting = [...weirs]
  while (waiting.length > 0) {
    const fed = new Set(waiting.map((weir) => weir.feedsWeirId))
    const ready = waiting.filter((weir) => !fed.has(weir.weirId))
    if (ready.length === 0) throw new RangeError('weirs feed each other in a ring')
    ordered.push(...ready)
    waiting = waiting.filter((weir) => fed.has(weir.weirId))
  }
  return ordered
}

function straightBetween(values: Float64Array, place: number): number {
  const within = Math.min(Math.max(place, 0), values.length - 1)
  const index = Math.min(Math.floor(within), values.length - 2)
  return values[index]! + (values[index + 1]! - values[index]!) * (within - index)
}
