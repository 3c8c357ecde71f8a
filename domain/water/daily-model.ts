import type { WeirLoss } from './loss/loss.ts'
import type { SandBody } from './sand/body.ts'
import { drainableStorageM3, type VolumeRangeM3 } from './sand/storage.ts'

/** One weir's store reduced to what a daily step needs: loss and level by stored volume, on an even grid. */
export interface StorageModel {
  capacityM3: number
  offTakeM3: number
  lossM3: Float64Array
  levelM: Float64Array
}

const CELLS = 400
const LEVELS = 500

/** Builds the model on the low, the likely or the high curve. Loss is what the sand loses in a day at that storage. */
export function storageModel({
  body,
  offTakeLevelM,
  loss,
  curve,
}: {
  body: SandBody
  offTakeLevelM: number
  loss: WeirLoss
  curve: keyof VolumeRangeM3
}): StorageModel {
  const { bedLevelM, crestLevelM } = body
  const storedM3 = (waterLevelM: number) => drainableStorageM3({ body, waterLevelM })[curve]
  // The curve is worked out once, every few millimetres; between those it is as good as straight.
  const stepM = (crestLevelM - bedLevelM) / LEVELS
  const curveM3 = Float64Array.from({ length: LEVELS + 1 }, (_, i) => storedM3(bedLevelM + i * stepM))
  const capacityM3 = curveM3[LEVELS]!
  const levelM = new Float64Array(CELLS + 1)
  const lossM3 = new Float64Array(CELLS + 1)
  let index = 0
  for (let cell = 0; cell <= CELLS; cell++) {
    const targetM3 = (cell / CELLS) * capacityM3
    while (index < LEVELS - 1 && curveM3[index + 1]! < targetM3) index++
    const gapM3 = curveM3[index + 1]! - curveM3[index]!
    const place = index + (gapM3 > 0 ? Math.max(0, targetM3 - curveM3[index]!) / gapM3 : 0)
    levelM[cell] = bedLevelM + place * stepM
    lossM3[cell] =
      'dailyM3' in loss ? loss.dailyM3 : targetM3 - straightBetween(curveM3, place - loss.fallCmPerDay / 100 / stepM)
  }
  return { capacityM3, offTakeM3: storedM3(Math.min(offTakeLevelM, crestLevelM)), lossM3, levelM }
}

/** A value of the grid at a stored volume, straight between its cells. */
export function atStorage(grid: Float64Array, capacityM3: number, storageM3: number): number {
  return straightBetween(grid, capacityM3 > 0 ? (storageM3 / capacityM3) * CELLS : 0)
}

export interface DayFlows {
  /** Rain water that soaks in, before the space left is looked at. */
  rechargeM3: number
  fedFromAboveM3: number
  drinkingM3: number
  irrigationM3: number
  leakShare: number
}

export interface DayResult {
  storageM3: number
  lossM3: number
  spilledM3: number
  toBelowM3: number
  drinkingM3: number
  irrigationM3: number
}

/**
 * One day of one weir, by continuity: what comes in, as far as there is space; what is lost; what people and animals
 * drink, by hand once the off-take is dry; what irrigation draws above the off-take. No step makes water.
 */
export function stepDay(model: StorageModel, openingM3: number, flows: DayFlows): DayResult {
  const filledM3 = openingM3 + flows.rechargeM3 + flows.fedFromAboveM3
  let storageM3 = Math.min(filledM3, model.capacityM3)
  const lossM3 = Math.min(atStorage(model.lossM3, model.capacityM3, storageM3), storageM3)
  // Water that the banks return finds no room in a full weir and runs over the crest with the rest.
  const afterLossM3 = storageM3 - lossM3
  storageM3 = Math.min(afterLossM3, model.capacityM3)
  const spilledM3 = filledM3 - Math.min(filledM3, model.capacityM3) + (afterLossM3 - storageM3)
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
export function fromHeadDown<W extends { weirId: string; feedsWeirId: string | null }>(weirs: readonly W[]): W[] {
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
