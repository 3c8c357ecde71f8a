import { type Chance, chanceOf } from '../chance.ts'
import { levelM, lossM3PerDay, type Store, storedM3, storeOf } from '../sand.ts'
import { cropOn, TRUE_CROPS, TRUE_METHODS, TRUE_SOILS, type TrueCrop } from './crops.ts'

/** Days are counted from 0, the first of the dry season and of its first week. */
export const SEASON_DAYS = 182
/** The latest day on which the group remembers the rain to begin, and the last day of its season of crops. */
export const LATE_DAY = 168
export const LAST_CROP_DAY = 153

export type Kind = 'ample' | 'tight' | 'drought'

/** Usable water of the season as a part of the full gross need of the crops, so chosen that the best plan shows the kind. */
const STORE_TO_NEED: Record<Kind, number> = { ample: 0.97, tight: 0.78, drought: 0.5 }

export interface TrueWeir {
  store: Store
  startM3: number
  offTakeLevelM: number
  offTakeM3: number
  drinkingM3PerDay: number
  pumpClearDayM3: number
  /** What the group knows: water by level, every tenth of the height from the bed up, with the table's own error. */
  tableM3: readonly { levelM: number; m3: number }[]
  /** Errors of the falls that the group measures on rest days, cm a day: those before the season, then one every fourth week. */
  restErrorCm: { before: readonly number[]; byRest: readonly number[] }
}

export interface TruePlot {
  weir: number
  crop: TrueCrop
  soilKey: string
  methodKey: string
  tableEfficiency: number
  tableAvailableMmPerM: number
  /** Times the coefficients of the table. */
  tableUse: number
  sownDay: number
  areaM2: number
  efficiency: number
  /** What makes this field other than the tables. */
  availableMmPerM: number
  useFactor: number
  rootFactor: number
  startDryPart: number
}

export interface TrueSeason {
  kind: Kind
  seed: number
  weirs: TrueWeir[]
  plots: TruePlot[]
  /** First day of the rain that fills the sand. */
  onsetDay: number
  etoMm: Float64Array
  rainMm: Float64Array
  /** Part of a clear day's water that the pump gives. */
  pumpPart: Float64Array
  seenEtoMm: Float64Array
  seenRainMm: Float64Array
  /** Usual reference evapotranspiration as the group has it written, mm a day. */
  usualEtoMm: Float64Array
  absent: Uint8Array
  /** Error of each weekly level reading, m, by weir and week. */
  readingErrorM: Float64Array
}

const WEIRS = 3
const PLOTS_A_WEIR = 8
export const WEEKS = SEASON_DAYS / 7

/** One season of a valley with three weirs and 24 plots; everything is drawn from the seed. */
export function trueSeason(kind: Kind, seed: number): TrueSeason {
  const chance = chanceOf(seed * 7919 + 17)
  const weather = weatherOf(chance)
  const weirs = Array.from({ length: WEIRS }, () => weirOf(chance))
  const plots = Array.from({ length: WEIRS * PLOTS_A_WEIR }, (_, at) => plotOf(chance, Math.floor(at / PLOTS_A_WEIR)))
  weirs.forEach((weir, at) => {
    fitToStore(
      weir,
      plots.filter((plot) => plot.weir === at),
      weather.usualEtoMm,
      STORE_TO_NEED[kind],
    )
  })
  const absent = Uint8Array.from({ length: SEASON_DAYS * plots.length }, () => (chance.happens(0.04) ? 1 : 0))
  const readingErrorM = Float64Array.from({ length: WEIRS * WEEKS }, () => 0.012 * chance.normal())
  return { kind, seed, weirs, plots, ...weather, onsetDay: Math.round(chance.between(138, 172)), absent, readingErrorM }
}

/** Cloud comes in spells; ten to twenty days of a dry season bring showers, and one season in three a storm out of season. */
function weatherOf(chance: Chance) {
  const days = SEASON_DAYS
  const [baseMm, swingMm] = [chance.between(4.6, 5.8), chance.between(0.4, 1)]
  const usual = (day: number) => baseMm + swingMm * Math.sin((2 * Math.PI * (day - 40)) / 365)
  const [seenBias, usualBias, stormDay] = [0.05 * chance.normal(), 0.06 * chance.normal(), chance.between(35, 100)]
  const hasStorm = chance.happens(1 / 3)
  const drawn = { etoMm: new Float64Array(days), rainMm: new Float64Array(days), pumpPart: new Float64Array(days) }
  const seen = { seenEtoMm: new Float64Array(days), seenRainMm: new Float64Array(days) }
  let cloud = 0
  let warmth = 0
  for (let day = 0; day < days; day++) {
    cloud = chance.happens(0.55) ? cloud : chance.part()
    warmth = 0.7 * warmth + 0.25 * chance.normal()
    const sky = cloud < 0.7 ? 1 : cloud < 0.92 ? 0.85 : 0.65
    drawn.etoMm[day] = Math.max(1.5, (usual(day) + warmth) * sky * 1.04)
    drawn.pumpPart[day] = (sky === 1 ? 1 : sky === 0.85 ? 0.7 : 0.45) * chance.between(0.92, 1.04)
    if (chance.happens(sky === 1 ? 0.01 : 0.06)) drawn.rainMm[day] = -7 * Math.log(1 - chance.part())
    if (hasStorm && day === Math.floor(stormDay)) drawn.rainMm[day] = chance.between(25, 50)
    seen.seenEtoMm[day] = Math.max(0, drawn.etoMm[day]! * (1 + seenBias + 0.05 * chance.normal()))
    seen.seenRainMm[day] = drawn.rainMm[day]! * (1 + 0.1 * chance.normal())
  }
  const usualEtoMm = Float64Array.from({ length: days }, (_, day) => usual(day) * (1 + usualBias))
  return { ...drawn, ...seen, usualEtoMm }
}

function weirOf(chance: Chance): TrueWeir {
  const heightM = chance.between(1.8, 3.2)
  const upperYield = chance.between(0.2, 0.3)
  const bulkM3 = chance.between(8000, 20000)
  const store = storeOf({
    heightM,
    shape: chance.between(0.9, 1.8),
    bulkM3,
    // Johnson 1967: medium to coarse sand 26 to 27 %, fine sand 21 %, with a wide spread; finer below.
    upperYield,
    lowerYield: upperYield * chance.between(0.6, 0.9),
    borderM: heightM * chance.between(0.3, 0.6),
    dryingDepthM: chance.between(0.32, 0.45),
    leakM3PerDayPerM: (bulkM3 * upperYield * chance.between(0.0002, 0.001)) / heightM,
  })
  const offTakeLevelM = heightM * chance.between(0.18, 0.32)
  const startM3 = storedM3(store, heightM - chance.between(0.4, 0.8))
  const offTakeM3 = storedM3(store, offTakeLevelM)
  const drinkingM3PerDay = ((startM3 - offTakeM3) * chance.between(0.08, 0.18)) / LATE_DAY
  return {
    store,
    startM3,
    offTakeLevelM,
    offTakeM3,
    drinkingM3PerDay,
    pumpClearDayM3: 0,
    tableM3: tableOf(chance, store),
    restErrorCm: restErrors(chance),
  }
}

/** A probed table misses the volume by about a tenth, and the foot more than the top. */
function tableOf(chance: Chance, store: Store) {
  const { heightM } = store.sand
  const [scale, tilt] = [0.08 * chance.normal(), 0.12 * chance.normal()]
  return Array.from({ length: 21 }, (_, row) => {
    const atM = (row / 20) * heightM
    return { levelM: atM, m3: storedM3(store, atM) * Math.max(0.4, 1 + scale + tilt * (1 - row / 20)) }
  })
}

/** Five rests of two days before the season, then one of three days every fourth week; a reading errs by 1.2 cm. */
function restErrors(chance: Chance) {
  const ofDays = (days: number) => (1.2 * Math.SQRT2 * chance.normal()) / days
  return {
    before: Array.from({ length: 5 }, () => ofDays(2)),
    byRest: Array.from({ length: WEEKS / 4 }, () => ofDays(3)),
  }
}

function plotOf(chance: Chance, weir: number): TruePlot {
  const [crop, soil, method] = [chance.oneOf(TRUE_CROPS), chance.oneOf(TRUE_SOILS), chance.oneOf(TRUE_METHODS)]
  // What takes longest is sown first.
  const length = crop.stageDays[0] + crop.stageDays[1] + crop.stageDays[2] + crop.stageDays[3]
  return {
    weir,
    crop,
    soilKey: soil.key,
    methodKey: method.key,
    tableEfficiency: method.efficiency,
    tableAvailableMmPerM: soil.availableMmPerM,
    tableUse: 1,
    sownDay: Math.floor(chance.between(0, Math.max(7, Math.min(35, LAST_CROP_DAY - length)))),
    areaM2: Math.exp(0.35 * chance.normal()),
    efficiency: Math.min(0.9, method.efficiency * (1 + 0.08 * chance.normal())),
    availableMmPerM: soil.availableMmPerM * chance.between(0.8, 1.2),
    useFactor: 1 + 0.07 * chance.normal(),
    rootFactor: chance.between(1, 1.25),
    startDryPart: chance.between(0, 0.3),
  }
}

/** Plots are made as large as the kind of season says, and the pump for a third more than their thirstiest week. */
function fitToStore(weir: TrueWeir, plots: readonly TruePlot[], etoMm: Float64Array, storeToNeed: number): void {
  const needByDay = new Float64Array(SEASON_DAYS)
  for (const plot of plots)
    for (let day = plot.sownDay; day < SEASON_DAYS; day++) {
      const kc = cropOn(plot.crop, day - plot.sownDay)?.kc ?? 0
      needByDay[day]! += (kc * etoMm[day]! * plot.areaM2) / 1000 / plot.tableEfficiency
    }
  const needM3 = needByDay.reduce((sum, day) => sum + day, 0)
  const scale = usableM3(weir, needByDay, etoMm) / needM3 / storeToNeed
  for (const plot of plots) plot.areaM2 = Math.round(plot.areaM2 * scale)
  const most = Math.max(...needByDay.map((_, day) => needByDay.slice(day, day + 7).reduce((sum, one) => sum + one, 0)))
  weir.pumpClearDayM3 = (1.35 * scale * most) / 6
}

/** The most that the crops can be given in the rhythm of their need while drinking lasts to the late day. */
function usableM3(weir: TrueWeir, needByDay: Float64Array, etoMm: Float64Array): number {
  const total = needByDay.reduce((sum, day) => sum + day, 0)
  let [low, high] = [0, weir.startM3]
  for (let step = 0; step < 30; step++) {
    const givenM3 = (low + high) / 2
    let volumeM3 = weir.startM3
    for (let day = 0; day < LATE_DAY; day++) {
      volumeM3 -= lossM3PerDay(weir.store, levelM(weir.store, volumeM3), 1.05 * etoMm[day]!)
      volumeM3 -= weir.drinkingM3PerDay + (needByDay[day]! / total) * givenM3
    }
    if (volumeM3 >= weir.offTakeM3) low = givenM3
    else high = givenM3
  }
  return low
}
