import type { M3 } from '../domain/units.ts'
import type { SandBody } from '../domain/water/sand/body.ts'
import { drainableStorageM3, waterLevelForStorageM } from '../domain/water/sand/storage.ts'
import { bodyOf, levelsOf, type WeirSurvey } from '../server/water/sand/description.ts'
import type { Weir } from '../server/water/weir/store.ts'

/** What nobody in the valley sees: how much water truly stands in the sand of one weir, day by day. */
export class HiddenSand {
  readonly weir: Weir
  private readonly body: SandBody
  private readonly survey: WeirSurvey
  private storedM3: M3

  constructor(weir: Weir, survey: WeirSurvey, partFull: number) {
    this.weir = weir
    this.survey = survey
    this.body = bodyOf(survey)
    this.storedM3 = partFull * this.volumeAt(survey.crestLevelM)
  }

  /** One day: drawn, lost by itself, and filled by a storm as far as there is room. */
  passDay({ drawnM3, recharge }: { drawnM3: M3; recharge: number }): void {
    const fullM3 = this.volumeAt(this.survey.crestLevelM)
    const lowered = this.volumeAt(this.levelM() - (this.survey.lossCmPerDay ?? 0) / 100)
    this.storedM3 = Math.min(fullM3, Math.max(0, lowered - drawnM3 + recharge * fullM3))
  }

  /** Centimetres from the mark to the water. */
  depthCm(): number {
    return (levelsOf(this.survey).markLevelM - this.levelM()) * 100
  }

  private levelM(): number {
    return waterLevelForStorageM({ body: this.body, storageM3: this.storedM3 })!
  }

  private volumeAt(waterLevelM: number): number {
    return drainableStorageM3({ body: this.body, waterLevelM }).likelyM3
  }
}
