import type { StageDays } from '../crop/stages.ts'

export type CropRow = [
  key: string,
  name: string,
  group: string,
  kc: [number, number, number],
  heightMaxM: number,
  stageDays: StageDays | null,
  region: string,
  plantedAround: string,
  rootDepthM: [number, number],
  depletionFraction: number,
  yieldResponse: number | null,
  note: string,
]
