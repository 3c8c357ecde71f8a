import { oursWith } from './harvest/ours.ts'
import { perfectKnowledge } from './harvest/perfect.ts'
import { type Policy, runSeason } from './harvest/season.ts'
import { TERMS, TRUTHS, type Truth } from './harvest/terms.ts'
import { type TrueSeason, trueSeason } from './harvest/valley.ts'
import { KINDS, printTable, type Summary, summaryOf } from './table.ts'

/** What each term of the plan is worth, and what each doubt costs: `npm run bench:terms`. The seeds are the first of the judging ones. */
const SEEDS = [1000, 1001, 1002, 1003, 1004]
const HEADS = ['mean', 'worst plot', 'dry days', 'unused']

type Judged = Summary[]

/** A season as each kind of it goes, with some doubts taken away. */
function judgedWith(truths: readonly Truth[], policyOf: (season: TrueSeason) => Policy): Judged {
  return KINDS.map((kind) =>
    summaryOf(
      SEEDS.map((seed) => {
        const season = truths.reduce((so, truth) => truth.season?.(so) ?? so, trueSeason(kind, seed))
        return runSeason(season, policyOf(season))
      }),
    ),
  )
}

const oursKnowing = (truths: readonly Truth[]) =>
  judgedWith(truths, () => oursWith(Object.assign({}, ...truths.map(({ settings }) => settings))))

function plainRow(name: string, judged: Judged): string[] {
  const percent = (of: (one: Summary) => number) => judged.map((one) => (100 * of(one)).toFixed(1)).join(' / ')
  const dryDays = judged.map((one) => one.dryWeirDays).join(' / ')
  return [
    name,
    percent((one) => one.meanYield),
    percent((one) => one.worstYield),
    dryDays,
    percent((one) => one.unusedPart),
  ]
}

/** Points more or less than another. */
function gainRow(name: string, judged: Judged, than: Judged): string[] {
  const gain = (of: (one: Summary) => number) =>
    judged
      .map((one, at) => {
        const points = (100 * (of(one) - of(than[at]!))).toFixed(1)
        return points.startsWith('-') ? points.replace('-', '−') : `+${points}`
      })
      .join(' / ')
  const dryDays = judged.map((one) => one.dryWeirDays).join(' / ')
  return [name, gain((one) => one.meanYield), gain((one) => one.worstYield), dryDays, gain((one) => one.unusedPart)]
}

const ours = oursKnowing([])
printTable(
  `One term changed, ${SEEDS.length} seasons of each kind, points against ours (ample / tight / drought)`,
  ['with', ...HEADS],
  [
    plainRow('ours, per cent', ours),
    ...Object.entries(TERMS).map(([name, changed]) =>
      gainRow(
        name,
        judgedWith([], () => oursWith(changed)),
        ours,
      ),
    ),
  ],
)

const truths = Object.entries(TRUTHS)
printTable(
  'One doubt taken away, points against ours',
  ['with', ...HEADS],
  truths.map(([name, truth]) => gainRow(name, oursKnowing([truth]), ours)),
)

const inTurn = [ours, ...truths.map((_, at) => oursKnowing(truths.slice(0, at + 1).map(([, truth]) => truth)))]
const all = Object.values(TRUTHS)
const perfect = judgedWith(all, perfectKnowledge)
printTable(
  'Doubts taken away one after the other, points against the row before',
  ['with', ...HEADS],
  [
    plainRow('ours, per cent', ours),
    ...truths.map(([name], at) => gainRow(name, inTurn[at + 1]!, inTurn[at]!)),
    gainRow('each day and plot given just its part, by phase of growth', perfect, inTurn.at(-1)!),
    plainRow('perfect knowledge of that world, per cent', perfect),
    plainRow('perfect knowledge of the world as it is', judgedWith([], perfectKnowledge)),
  ],
)
