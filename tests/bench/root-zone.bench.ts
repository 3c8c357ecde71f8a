import { balanceRootZone, rootZoneOutput } from '../../domain/crops/root-zone/balance-arrays.ts'
import { seededRandom } from '../../domain/random.ts'
import { fastestMs, shown } from './measure.ts'

const PLOTS = 500
const DAYS = 365

type RootZoneInput = Parameters<typeof balanceRootZone>[0]

/** A year of root zones beside a bare loop of the same sums over the same arrays. */
export async function run(): Promise<string[]> {
  const plots = Array.from({ length: PLOTS }, (_, at) => yearOf(at + 1))
  const out = rootZoneOutput(DAYS)
  const bare = new Float64Array(DAYS)
  for (const plot of plots) {
    balanceRootZone(plot, out)
    bareLoop(plot, bare)
    for (let day = 0; day < DAYS; day++) {
      if (Math.abs(out.depletionMm[day]! - bare[day]!) > 1e-9) throw new Error('the two loops do not reckon the same')
    }
  }
  const oursMs = fastestMs(30, () => {
    for (const plot of plots) balanceRootZone(plot, out)
  })
  const bareMs = fastestMs(30, () => {
    for (const plot of plots) bareLoop(plot, bare)
  })
  const perSecond = Math.round((PLOTS * DAYS) / oursMs / 1000)
  return [
    `root zone, ${PLOTS} plots for ${DAYS} days: ${shown(oursMs)} ms, ${perSecond} million plot-days a second`,
    `bare loop of the same arithmetic: ${shown(bareMs)} ms; ours takes ${shown(oursMs / bareMs)} times as long`,
  ]
}

function bareLoop(plot: RootZoneInput, depletionMm: Float64Array): void {
  const { etoMm, kc, totalMm, creditedRainMm, irrigationMm, tableFraction } = plot
  let depletion = plot.startDepletionMm
  for (let day = 0; day < DAYS; day++) {
    const total = totalMm[day]!
    const potential = kc[day]! * etoMm[day]!
    const part = tableFraction + 0.04 * (5 - potential)
    const readily = (part > 0.8 ? 0.8 : Math.max(part, 0.1)) * total
    const dry = (total - depletion) / (total - readily)
    const stress = depletion <= readily ? 1 : Math.max(dry, 0)
    const wetted = depletion - creditedRainMm[day]! - irrigationMm[day]!
    const left = Math.max(total - wetted, 0)
    const drawn = Math.min(stress * potential, left)
    depletion = Math.max(wetted + drawn, 0)
    depletionMm[day] = depletion
  }
}

function yearOf(seed: number): RootZoneInput {
  const random = seededRandom(seed)
  const daily = (value: () => number) => Float64Array.from({ length: DAYS }, value)
  let totalMm = 30
  return {
    etoMm: daily(() => 3 + 4 * random()),
    kc: daily(() => 0.4 + 0.8 * random()),
    totalMm: daily(() => {
      totalMm += 0.1 * random()
      return totalMm
    }),
    creditedRainMm: daily(() => (random() < 0.15 ? 25 * random() : 0)),
    irrigationMm: daily(() => (random() < 0.2 ? 20 * random() : 0)),
    tableFraction: 0.4,
    startDepletionMm: 5,
  }
}
