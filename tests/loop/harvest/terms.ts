import { storedM3 } from '../sand.ts'
import { mean } from '../table.ts'
import type { Settings } from './ours.ts'
import type { TrueSeason } from './valley.ts'

/** One term of the plan at a time taken back, pushed further or put in another's place. */
export const TERMS: Record<string, Partial<Settings>> = {
  'release: an even share less a straight line of loss': { release: 'even share' },
  'need: the week’s use less last week’s rain': { need: 'use less rain' },
  'need: the low side of its range': { needSide: 'low' },
  'need: the high side of its range': { needSide: 'high' },
  'need of later weeks: as if grass grew': { laterNeed: 'grass' },
  'store: the low side of its range': { curve: 'lowM3' },
  'store: the high side of its range': { curve: 'highM3' },
  'loss: from the mean rest, half by head': { loss: 'mean rest' },
  'loss: no care for the doubt left in it': { loss: 'rests without care' },
  'loss: no look back at what was lost': { looksBack: false },
  'share: rises freely': { holdsRise: false },
  'floor: at the off-take': { floor: 'off-take' },
  'no drinking kept beyond the late day': { extraWeeks: 0 },
  'four weeks of drinking kept beyond it': { extraWeeks: 4 },
  'one turn a week at most': { mostTurns: 1 },
  'three turns a week at most': { mostTurns: 3 },
  'turns evenly spaced': { laysByDaysLeft: false },
  'missed turns not booked again': { booksOpenHours: false },
  'shares by need, past weeks forgotten': { sharing: 'by need, past weeks forgotten' },
  'shares by ground': { sharing: 'by ground' },
}

/** A doubt that is taken away: what the group sees or knows in its place, or what the world then is. */
export interface Truth {
  settings?: Partial<Settings>
  season?: (season: TrueSeason) => TrueSeason
}

/** In this order one after the other they lead from ours towards perfect knowledge. */
export const TRUTHS: Record<string, Truth> = {
  'levels and rests read without error': { season: withoutReadingErrors },
  'the table of the sand without error': { season: withTrueTables },
  'the loss at every level known': { settings: { loss: 'true', looksBack: false } },
  'the weather read without error, and that to come known': { season: withTrueWeather },
  'each field known: its losses, soil and use': { season: withKnownFields },
  'nobody away': { season: (season) => ({ ...season, absent: season.absent.map(() => 0) }) },
  'no clouds': { season: (season) => ({ ...season, pumpPart: season.pumpPart.map(() => 1) }) },
  'the day of the rain known, nothing kept beyond it': { settings: { lateDay: 'true', extraWeeks: 0 } },
  'the floor at the off-take': { settings: { floor: 'off-take' } },
}

function withoutReadingErrors(season: TrueSeason): TrueSeason {
  const none = (errors: readonly number[]) => errors.map(() => 0)
  return {
    ...season,
    readingErrorM: season.readingErrorM.map(() => 0),
    weirs: season.weirs.map((weir) => ({
      ...weir,
      restErrorCm: { before: none(weir.restErrorCm.before), byRest: none(weir.restErrorCm.byRest) },
    })),
  }
}

function withTrueTables(season: TrueSeason): TrueSeason {
  const weirs = season.weirs.map((weir) => ({
    ...weir,
    tableM3: weir.tableM3.map(({ levelM }) => ({ levelM, m3: storedM3(weir.store, levelM) })),
  }))
  return { ...season, weirs }
}

/** What is usual is then what four weeks around a day truly come to. */
function withTrueWeather(season: TrueSeason): TrueSeason {
  const { etoMm, rainMm } = season
  const usualEtoMm = etoMm.map((_, day) => mean([...etoMm.slice(Math.max(0, day - 14), day + 14)]))
  return { ...season, seenEtoMm: etoMm, seenRainMm: rainMm, usualEtoMm }
}

/** The fields stay as they are: it is the table that tells the truth of each. */
function withKnownFields(season: TrueSeason): TrueSeason {
  const plots = season.plots.map((plot) => ({
    ...plot,
    tableEfficiency: plot.efficiency,
    tableAvailableMmPerM: plot.availableMmPerM * plot.rootFactor,
    tableUse: plot.useFactor,
  }))
  return { ...season, plots }
}
