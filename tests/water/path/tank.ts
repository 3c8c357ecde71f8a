import { type StorageModel, storageModel } from '../../../domain/water/path/store.ts'
import { type SandBody, wedgeSandBody } from '../../../domain/water/sand/body.ts'

/**
 * A box of sand of 640 m3 drainable water over 2 m, each metre of level 320 m3: rectangular valley, made so that every
 * sum can be done by hand.
 */
export function boxBody(): SandBody {
  const body = wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 10,
    bedSlope: 0.01,
    valleyShape: 'rectangle',
    crestLevelM: 102,
    specificYield: { low: 0.2, likely: 0.25, high: 0.3 },
  })
  const row = (levelM: number) => ({
    levelM,
    lowM3: 240 * (levelM - 100),
    likelyM3: 320 * (levelM - 100),
    highM3: 400 * (levelM - 100),
  })
  return { ...body, grade: 'probed', table: [row(100), row(102)] }
}

/** Off-take 0.2 m above the bed, so that 64 m3 lie below it and the floor stands at 80 m3. */
export function tank(dailyLossM3 = 0): StorageModel {
  return storageModel({ body: boxBody(), offTakeLevelM: 100.2, loss: { dailyM3: dailyLossM3 } })
}
