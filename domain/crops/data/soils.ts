import type { Range } from '../../units.ts'
import type { SoilCoarseness } from '../crop/initial-coefficient.ts'

interface Soil {
  key: string
  name: string
  /** Water held after drainage, and what roots cannot draw, as parts of the soil's volume. */
  fieldCapacity: Range
  wiltingPoint: Range
  /** Water that roots can draw from each metre of depth; the middle of the printed range is the likely value. */
  availableMmPerM: Range
  /** Water that the top 0.10 m loses readily, and in all, by evaporation. */
  readilyEvaporableMm: Range
  evaporableMm: Range
  coarseness: SoilCoarseness
}

type Limits = [number, number, number]
type Row = [string, string, Limits, Limits, Limits, Limits, Limits]

// biome-ignore format: one soil to a line reads like the printed table.
const ROWS: readonly Row[] = [
  ['sand', 'Sand', [0.07, 0.12, 0.17], [0.02, 0.045, 0.07], [50, 80, 110], [2, 4.5, 7], [6, 9, 12]],
  ['loamy_sand', 'Loamy sand', [0.11, 0.15, 0.19], [0.03, 0.065, 0.1], [60, 90, 120], [4, 6, 8], [9, 11.5, 14]],
  ['sandy_loam', 'Sandy loam', [0.18, 0.23, 0.28], [0.06, 0.11, 0.16], [110, 130, 150], [6, 8, 10], [15, 17.5, 20]],
  ['loam', 'Loam', [0.2, 0.25, 0.3], [0.07, 0.12, 0.17], [130, 155, 180], [8, 9, 10], [16, 19, 22]],
  ['silt_loam', 'Silt loam', [0.22, 0.29, 0.36], [0.09, 0.15, 0.21], [130, 160, 190], [8, 9.5, 11], [18, 21.5, 25]],
  ['silt', 'Silt', [0.28, 0.32, 0.36], [0.12, 0.17, 0.22], [160, 180, 200], [8, 9.5, 11], [22, 24, 26]],
  ['silty_clay_loam', 'Silty clay loam', [0.3, 0.335, 0.37], [0.17, 0.205, 0.24], [130, 155, 180], [8, 9.5, 11], [22, 24.5, 27]],
  ['silty_clay', 'Silty clay', [0.3, 0.36, 0.42], [0.17, 0.23, 0.29], [130, 160, 190], [8, 10, 12], [22, 25, 28]],
  ['clay', 'Clay', [0.32, 0.36, 0.4], [0.2, 0.22, 0.24], [120, 160, 200], [8, 10, 12], [22, 25.5, 29]],
]

/** Textures whose bare surface follows the coarse drying curve of FAO-56, Figure 30a. */
const COARSE = new Set(['sand', 'loamy_sand'])

/** Water limits by texture. Source: FAO-56 (1998), Table 19; the middle values are derived. Which textures are coarse: p. 117, from memory. */
const SOILS: readonly Soil[] = ROWS.map(([key, name, field, wilting, available, readily, evaporable]) => ({
  key,
  name,
  fieldCapacity: range(field),
  wiltingPoint: range(wilting),
  availableMmPerM: range(available),
  readilyEvaporableMm: range(readily),
  evaporableMm: range(evaporable),
  coarseness: COARSE.has(key) ? 'coarse' : 'fine-or-medium',
}))

/** The soil of the table with that key, null for one that it does not have. */
export function soilByKey(key: string): Soil | null {
  return SOILS.find((soil) => soil.key === key) ?? null
}

function range([low, likely, high]: Limits): Range {
  return { low, likely, high }
}
