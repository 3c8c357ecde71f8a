import type { StageDays } from '../crop/stages.ts'
import { CROP_ROWS } from './crop-rows.ts'

export interface Crop {
  key: string
  name: string
  group: string
  kcIni: number
  kcMid: number
  kcEnd: number
  /** After leaf fall, of a crop that drops its leaves. */
  kcRest?: number | undefined
  heightMaxM: number
  /** Null where the table prints none: the group gives its own. */
  stageDays: StageDays | null
  /** Region and planting date of the stage row taken, since both change the lengths. */
  stageRegion: string
  plantedAround: string
  /** Effective depth of a grown crop: the lesser suits watering, the greater a crop left to the rain. */
  rootDepthMinM: number
  rootDepthMaxM: number
  /** Part of the available water that can be drawn without stress, at 5 mm a day. */
  depletionFraction: number
  /** Seasonal yield response factor; null where the table has none. */
  yieldResponse: number | null
  /** Stays in the ground for years, so a cut outlives the season. */
  perennial: boolean
  source: string
  status: 'verified' | 'memory' | 'own'
  note: string
}

const SOURCE = 'FAO-56 (1998), Tables 11, 12, 22 and 24'

const PERENNIAL_GROUPS = new Set([
  'perennial vegetables',
  'forages',
  'sugar cane',
  'tropical fruits and trees',
  'grapes and berries',
  'fruit trees',
])

/** Trees and vines that stand bare for a part of the year, with dry ground below. Source: notes of FAO-56, Table 12. */
const LEAFLESS_COEFFICIENT = 0.2
const LEAFLESS_KEYS = new Set(['grape_table', 'grape_wine', 'apple_no_cover', 'peach_no_cover', 'berries_bush'])

/** The published table. Initial coefficients are planning values: how often the soil is wetted changes them much. */
const PRINTED: readonly Crop[] = CROP_ROWS.map(
  ([key, name, group, kc, heightMaxM, stageDays, stageRegion, plantedAround, roots, fraction, response, note]) => ({
    key,
    name,
    group,
    kcIni: kc[0],
    kcMid: kc[1],
    kcEnd: kc[2],
    kcRest: LEAFLESS_KEYS.has(key) ? LEAFLESS_COEFFICIENT : undefined,
    heightMaxM,
    stageDays,
    stageRegion,
    plantedAround,
    rootDepthMinM: roots[0],
    rootDepthMaxM: roots[1],
    depletionFraction: fraction,
    yieldResponse: response,
    perennial: PERENNIAL_GROUPS.has(group),
    source: SOURCE,
    status: 'verified' as const,
    note,
  }),
)

/** Many vegetables side by side, sown anew as they are cut. Coefficients: small vegetables as a group; the rest: common practice, no source. */
const KITCHEN_GARDEN: Crop = {
  key: 'kitchen_garden',
  name: 'Kitchen garden, mixed vegetables',
  group: 'small vegetables',
  kcIni: 0.7,
  kcMid: 1.05,
  kcEnd: 0.95,
  heightMaxM: 0.4,
  stageDays: [20, 30, 100, 15],
  stageRegion: 'everywhere',
  plantedAround: 'at any time',
  rootDepthMinM: 0.3,
  rootDepthMaxM: 0.6,
  depletionFraction: 0.3,
  yieldResponse: null,
  perennial: false,
  source:
    'FAO-56 (1998), Table 12, small vegetables as a group; stages, roots and depletion: common practice, no source',
  status: 'memory',
  note: 'For a bed of many crops; write single crops where one of them takes most of the ground.',
}

/** The crops of the book: the published table, and a garden of many. */
export const CROPS: readonly Crop[] = [...PRINTED, KITCHEN_GARDEN]

/** The crop of the table with that key, null for one that it does not have. */
export function cropByKey(key: string): Crop | null {
  return CROPS.find((crop) => crop.key === key) ?? null
}
