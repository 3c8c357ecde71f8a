import type { StageDays } from '../crop/stages.ts'

interface StageLengthsRow {
  cropKey: string
  stageDays: StageDays
  /** As printed; where it differs from the sum of the stages, the table contradicts itself. */
  totalPrintedDays: number
  plantedAround: string
  region: string
}

type Row = [string, StageDays, number, string, string]

// biome-ignore format: one row to a line reads like the printed table.
const ROWS: readonly Row[] = [
  ['tomato', [30, 40, 40, 25], 135, 'January', 'Arid region'],
  ['tomato', [35, 40, 50, 30], 155, 'April/May', 'California'],
  ['tomato', [25, 40, 60, 30], 155, 'January', 'Desert, California'],
  ['tomato', [35, 45, 70, 30], 180, 'October/November', 'Arid region'],
  ['tomato', [30, 40, 45, 30], 145, 'April/May', 'Mediterranean'],
  ['potato', [25, 30, 30, 30], 115, 'January', '(Semi)arid climate'],
  ['potato', [25, 30, 45, 30], 130, 'November', '(Semi)arid climate'],
  ['potato', [25, 30, 45, 30], 130, 'May', 'Continental climate'],
  ['potato', [30, 35, 50, 30], 145, 'April', 'Europe'],
  ['potato', [45, 30, 70, 20], 165, 'April/May', 'Idaho, USA'],
  ['potato', [30, 35, 50, 25], 140, 'December', 'Desert, California'],
  ['onion_dry', [15, 25, 70, 40], 150, 'April', 'Mediterranean'],
  ['onion_dry', [20, 35, 110, 45], 210, 'October; January', 'Arid region; California'],
  ['onion_green', [25, 30, 10, 5], 70, 'April/May', 'Mediterranean'],
  ['onion_green', [20, 45, 20, 10], 95, 'October', 'Arid region'],
  ['onion_green', [30, 55, 55, 40], 180, 'March', 'California'],
  ['cabbage', [40, 60, 50, 15], 165, 'September', 'Desert, California'],
  ['cabbage', [20, 30, 20, 10], 80, 'April', 'Mediterranean'],
  ['cabbage', [25, 35, 25, 10], 95, 'February', 'Mediterranean'],
  ['cabbage', [30, 35, 90, 40], 195, 'October/November', 'Mediterranean'],
  ['maize_grain', [30, 50, 60, 40], 180, 'April', 'East Africa (altitude)'],
  ['maize_grain', [25, 40, 45, 30], 140, 'December/January', 'Arid climate'],
  ['maize_grain', [20, 35, 40, 30], 125, 'June', 'Nigeria (humid)'],
  ['maize_grain', [20, 35, 40, 30], 125, 'October', 'India (dry, cool)'],
  ['maize_grain', [30, 40, 50, 30], 150, 'April', 'Spain (spring, summer); California'],
  ['maize_grain', [30, 40, 50, 50], 170, 'April', 'Idaho, USA'],
  ['maize_sweet', [20, 20, 30, 10], 80, 'March', 'Philippines'],
  ['maize_sweet', [20, 25, 25, 10], 80, 'May/June', 'Mediterranean'],
  ['maize_sweet', [20, 30, 30, 10], 90, 'October/December', 'Arid climate'],
  ['maize_sweet', [30, 30, 30, 10], 110, 'April', 'Idaho, USA'],
  ['maize_sweet', [20, 40, 70, 10], 140, 'January', 'Desert, California'],
  ['bean_dry', [20, 30, 40, 20], 110, 'May/June', 'Continental climates'],
  ['bean_dry', [15, 25, 35, 20], 95, 'June', 'Pakistan, California'],
  ['bean_dry', [25, 25, 30, 20], 100, 'June', 'Idaho, USA'],
  ['bean_green', [20, 30, 30, 10], 90, 'February/March', 'California, Mediterranean'],
  ['bean_green', [15, 25, 25, 10], 75, 'August/September', 'California, Egypt, Lebanon'],
  ['cowpea', [20, 30, 30, 20], 110, 'March', 'Mediterranean'],
  ['groundnut', [25, 35, 45, 25], 130, 'Dry season', 'West Africa'],
  ['groundnut', [35, 35, 35, 35], 140, 'May', 'High latitudes'],
  ['groundnut', [35, 45, 35, 25], 140, 'May/June', 'Mediterranean'],
  ['sorghum_grain', [20, 35, 40, 30], 130, 'May/June', 'USA, Pakistan, Mediterranean'],
  ['sorghum_grain', [20, 35, 45, 30], 140, 'March/April', 'Arid region'],
  ['millet', [15, 25, 40, 25], 105, 'June', 'Pakistan'],
  ['millet', [20, 30, 55, 35], 140, 'April', 'Central USA'],
  ['wheat_spring', [15, 25, 50, 30], 120, 'November', 'Central India'],
  ['wheat_spring', [20, 25, 60, 30], 135, 'March/April', '35-45 degrees latitude'],
  ['wheat_spring', [15, 30, 65, 40], 150, 'July', 'East Africa'],
  ['wheat_spring', [40, 30, 40, 20], 130, 'April', ''],
  ['wheat_spring', [40, 60, 60, 40], 200, 'November', ''],
  ['wheat_spring', [20, 50, 60, 30], 160, 'December', 'Desert, California'],
  ['pepper_bell', [30, 35, 40, 20], 125, 'April/June', 'Europe and Mediterranean'],
  ['pepper_bell', [30, 40, 110, 30], 210, 'October', 'Arid region'],
]

/** Every printed row of stage lengths for the main crops, for a group to pick the one nearest its own season. Source: FAO-56 (1998), Table 11. */
export const STAGE_LENGTHS: readonly StageLengthsRow[] = ROWS.map(
  ([cropKey, stageDays, totalPrintedDays, plantedAround, region]) => ({
    cropKey,
    stageDays,
    totalPrintedDays,
    plantedAround,
    region,
  }),
)
