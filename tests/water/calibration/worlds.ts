import { addDays } from '../../../domain/calendar.ts'
import type { CalibrationStretch } from '../../../domain/water/calibration/runs.ts'
import { type SandBody, wedgeSandBody, withLevelVolumeTable } from '../../../domain/water/sand/body.ts'
import { type Chance, chanceOf } from '../../loop/chance.ts'
import { levelM, lossM3PerDay, type Store, storedM3, storeOf } from '../../loop/sand.ts'

/** How a group kept its book over the season. */
export interface Habits {
  weeks: number
  /** Days from one dawn reading to the next. */
  readEvery: number
  /** Days without pumping in every fourth week, read at dawn on the first and the last; 0 for none. */
  restDays: number
  /** Part of what was drawn that nobody wrote in. */
  unlogged: number
}

export const DAILY: Habits = { weeks: 26, readEvery: 1, restDays: 5, unlogged: 0 }

export interface WeirSeason {
  truth: Store
  /** As the group's survey has it: its foot and top each wrong by itself, between -40 and +60 per cent. */
  body: SandBody
  offTakeLevelM: number
  /** Open water as the group knows it, mm a day. */
  openWaterMm: number
  stretches: CalibrationStretch[]
}

/**
 * A seeded weir that takes nothing from the fit: bodies of several shapes, coarse sand over finer, evaporation that dies
 * away on a curve of its own, leak by head from none to 0.6 % of the store a day, banks that give and stop, a pump that
 * follows the need and the sky, a meter up to 5 % off and a stick that errs by 0.8 to 1.6 cm.
 */
export function weirSeason(seed: number, habits: Habits): WeirSeason {
  const chance = chanceOf(7919 * seed)
  const truth = trueStore(chance)
  const { heightM } = truth.sand
  const offTakeLevelM = heightM * chance.between(0.08, 0.35)
  const trueOpenMm = chance.between(3, 7)
  const openWaterMm = trueOpenMm * (1 + 0.15 * chance.normal())
  const body = surveyed(chance, truth)
  const startM3 = storedM3(truth, heightM * chance.between(0.8, 0.97))
  const offTakeM3 = storedM3(truth, offTakeLevelM)
  const stretches = season(chance, { truth, startM3, offTakeM3, trueOpenMm, habits })
  return { truth, body, offTakeLevelM, openWaterMm, stretches }
}

function trueStore(chance: Chance): Store {
  const heightM = chance.between(1.5, 4)
  const upperYield = chance.between(0.12, 0.32)
  const fullM3 = 100 * 200 ** chance.part()
  return storeOf({
    heightM,
    upperYield,
    shape: chance.between(0.4, 2.2),
    bulkM3: fullM3 / upperYield,
    lowerYield: upperYield * chance.between(0.5, 1.1),
    borderM: heightM * chance.between(0.2, 0.7),
    dryingDepthM: chance.between(0.25, 0.5),
    leakM3PerDayPerM: chance.happens(0.2) ? 0 : (fullM3 * 0.006 * chance.part() ** 2) / heightM,
  })
}

function surveyed(chance: Chance, truth: Store): SandBody {
  const { heightM, upperYield } = truth.sand
  const [foot, top] = [chance.between(-0.4, 0.6), chance.between(-0.4, 0.6)]
  const likely = Math.min(0.45, upperYield * (1 + 0.2 * chance.normal()))
  const wedge = wedgeSandBody({
    crestHeightM: heightM,
    crestWidthM: 20,
    bedSlope: 0.02,
    valleyShape: 'parabola',
    crestLevelM: heightM,
    specificYield: { low: 0.6 * likely, likely, high: Math.min(0.5, 1.4 * likely) },
  })
  let m3 = 0
  const rows = Array.from({ length: 21 }, (_, row) => {
    const atM = (row / 20) * heightM
    m3 = Math.max(m3, storedM3(truth, atM) * (1 + foot + ((top - foot) * row) / 20))
    return { levelM: atM, lowM3: 0.75 * m3, likelyM3: m3, highM3: 1.25 * m3 }
  })
  return withLevelVolumeTable({ body: wedge, rows, grade: chance.happens(0.5) ? 'guessed' : 'probed' })
}

interface Given {
  truth: Store
  startM3: number
  offTakeM3: number
  trueOpenMm: number
  habits: Habits
}

function season(chance: Chance, { truth, startM3, offTakeM3, trueOpenMm, habits }: Given): CalibrationStretch[] {
  const { weeks, readEvery, restDays, unlogged } = habits
  const usableM3 = startM3 - offTakeM3
  const evenM3 = usableM3 / (7 * weeks)
  const bankM3 = chance.happens(0.3) ? usableM3 * chance.between(0.0005, 0.003) : 0
  const bankStops = chance.between(20, 90)
  const [stickCm, drinkingM3] = [chance.between(0.8, 1.6), evenM3 * chance.between(0.05, 0.2)]
  const meter = 1 + 0.05 * (2 * chance.part() - 1)
  const stretches: CalibrationStretch[] = []
  let storeM3 = startM3
  const read = () => levelM(truth, storeM3) + (stickCm * chance.normal()) / 100
  let last = { day: 0, levelM: read(), drawnM3: 0 }
  for (let day = 0; day < 7 * weeks && storeM3 > offTakeM3 + 0.02 * usableM3; day++) {
    const [week, weekday] = [Math.floor(day / 7), day % 7]
    const rests = restDays > 0 && week % 4 === 1
    if (day > 0 && (day % readEvery === 0 || (rests && (weekday === 0 || weekday === restDays)))) {
      const levelNowM = read()
      stretches.push(stretchOf(last, day, levelNowM, (1 - unlogged) * meter))
      last = { day, levelM: levelNowM, drawnM3: 0 }
    }
    const sky = 0.7 + 0.6 * chance.part()
    const need = Math.min(1, 0.4 + (1.8 * week) / weeks, 0.5 + (1.6 * (weeks - week)) / weeks)
    const stands = weekday === 6 || (rests && weekday < restDays)
    const pumpedM3 = Math.min(stands ? 0 : 0.9 * evenM3 * need * sky, Math.max(0, storeM3 - offTakeM3))
    const drawnM3 = pumpedM3 + drinkingM3
    last.drawnM3 += drawnM3
    storeM3 = Math.max(0, storeM3 - drawnM3)
    storeM3 -= Math.min(storeM3, lossM3PerDay(truth, levelM(truth, storeM3), trueOpenMm))
    if (day < bankStops) storeM3 += bankM3
  }
  return stretches
}

function stretchOf(
  last: { day: number; levelM: number; drawnM3: number },
  day: number,
  closingLevelM: number,
  part: number,
) {
  return {
    fromOn: addDays('2026-05-01', last.day),
    toOn: addDays('2026-05-01', day),
    days: day - last.day,
    kind: 'dry' as const,
    openingLevelM: last.levelM,
    closingLevelM,
    drawnM3: last.drawnM3 * part,
    spilledM3: 0,
    leakFromAboveM3: 0,
    spillFromAboveM3: 0,
  }
}
