import { type Judged, judged, trialOf } from '../water/calibration/trials.ts'
import { DAILY, type Habits } from '../water/calibration/worlds.ts'

const SEASONS = 200

const HABITS: [string, Habits, number | null][] = [
  ['read at every dawn, five days of rest in every fourth week', DAILY, null],
  ['read every third dawn, the same rests', { ...DAILY, readEvery: 3 }, null],
  ['read every seventh dawn, the same rests', { ...DAILY, readEvery: 7 }, null],
  ['every dawn, a fifth of the draws unlogged, no meter read', { ...DAILY, unlogged: 0.2 }, null],
  ['every dawn, a fifth unlogged, the meter read', { ...DAILY, unlogged: 0.2 }, 1 / 0.8],
  ['every dawn, two fifths unlogged, the meter read', { ...DAILY, unlogged: 0.4 }, 1 / 0.6],
]

/** A season of readings: the five dry months. */
const SEASON_DAYS = 150

/** Seasons of seeded weirs of worlds other than the fit's own: how often the range holds the truth, and how wide it is. */
export async function run(): Promise<string[]> {
  return HABITS.flatMap(([name, habits, meterTimes]) => {
    const trials = Array.from({ length: SEASONS }, (_, at) => trialOf(at + 1, habits, meterTimes))
    const whole = trials.filter(({ days }) => days >= SEASON_DAYS)
    return [
      `${name}, above the off-take: ${row(judged(trials))}`,
      `  of the water that readings saw: ${row(judged(trials, 'ofRead'))}`,
      `  the same, of the ${whole.length} books of five months and more: ${row(judged(whole, 'ofRead'))}`,
    ]
  })
}

function row({ seasons, refused, holds, halfWidth }: Judged): string {
  const percent = (part: number) => `${Math.round(100 * part)} %`
  const reasons = Object.entries(refused).map(([reason, count]) => `${reason} ${percent(count / seasons)}`)
  const fitted = `holds ${holds.map(percent).join(', ')}; half width ${halfWidth.map(percent).join(', ')}; `
  return `${holds.some(Number.isNaN) ? '' : fitted}refused: ${reasons.join(', ') || 'none'}`
}
