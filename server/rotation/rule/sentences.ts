import {
  classExample,
  EXAMPLE_NEED_M3,
  EXAMPLE_PLOTS,
  EXAMPLE_WATER_M3,
  mixExample,
} from '../../../domain/rotation/draft/rule-example.ts'
import type { RuleMix, WeekRule } from '../../../domain/rotation/rule/types.ts'
import { sum } from '../../../domain/sum.ts'
import type { Words } from '../../web/pages/page.ts'

interface Named {
  id: string
  number: number
  name: string
}

interface RuleWords {
  heading: string
  sentences: string[]
  example?: string
  rows?: { label: string; value: string }[]
}

/** A version of the rule in plain sentences, each part with an example that the rule itself has worked out. */
export function ruleInWords(
  rule: WeekRule,
  words: Words,
  { weirs, plots }: { weirs: readonly Named[]; plots: readonly Named[] },
): RuleWords[] {
  const { t } = words.locale
  const byWeir = Object.entries(rule.byWeir).map(([weirId, mix]): RuleWords => {
    const weir = weirs.find((one) => one.id === weirId)
    return {
      heading: t('sharing-rule.words.weir', { weir: weir ? `${weir.number} ${weir.name}` : '' }),
      sentences: [mixSentence(mix, words)],
      example: mixExampleSentence(mix, words),
    }
  })
  return [
    {
      heading: t('sharing-rule.words.part'),
      sentences: [mixSentence(rule, words), t(`sharing-rule.words.admission-${rule.admission}`)],
      example: mixExampleSentence(rule, words),
    },
    ...byWeir,
    { heading: t('sharing-rule.words.first'), sentences: classSentences(rule, words), ...classTable(rule, words) },
    { heading: t('sharing-rule.words.protected'), sentences: protectedSentences(rule, words, plots) },
    { heading: t('sharing-rule.words.spare'), sentences: [spareSentence(rule, words)] },
    { heading: t('sharing-rule.words.carry-over'), sentences: carryOverSentences(rule, words) },
  ]
}

function mixSentence(mix: RuleMix, { locale: { t }, format }: Words): string {
  const terms = [
    ['equal', mix.equalWeight],
    ['area', mix.areaWeight],
    ['share', mix.shareWeight],
    ['persons', mix.personsWeight],
    ['need', mix.needWeight],
  ] as const
  const whole = sum(terms, ([, weight]) => weight)
  const parts = terms
    .filter(([, weight]) => weight > 0)
    .map(([basis, weight]) => t(`sharing-rule.words.basis-${basis}`, { part: format.percent(weight / whole) }))
  const cap = mix.areaCapM2 === null ? '' : ` ${t('sharing-rule.words.area-cap', { cap: format.whole(mix.areaCapM2) })}`
  return `${t('sharing-rule.words.mix', { parts: parts.join(', ') })}${cap}`
}

function mixExampleSentence(mix: RuleMix, { locale: { t }, format }: Words): string {
  const { a, b } = mixExample(mix)
  const [first, second] = EXAMPLE_PLOTS
  const plotValues = { areaA: first.areaM2, personsA: first.persons, sharesA: first.shares, needA: first.needM3 }
  const otherValues = { areaB: second.areaM2, personsB: second.persons, sharesB: second.shares, needB: second.needM3 }
  const given = { water: EXAMPLE_WATER_M3, a: format.one(a), b: format.one(b) }
  return t('sharing-rule.words.mix-example', { ...plotValues, ...otherValues, ...given })
}

function classSentences({ classes, declaredOn }: WeekRule, { locale: { t }, format }: Words): string[] {
  const places = [...new Set(classes.map((one) => one.place))].sort((one, other) => one - other)
  const namesAt = (place: number) =>
    classes
      .filter((one) => one.place === place)
      .map((one) => t(`sharing-rule.class.${one.class}`))
      .join(t('sharing-rule.words.with'))
  const minimums = classes.flatMap(({ class: each, minimumPart }) =>
    minimumPart === null
      ? []
      : [
          t('sharing-rule.words.minimum', {
            class: t(`sharing-rule.class.${each}`),
            part: format.percent(minimumPart),
          }),
        ],
  )
  return [
    t('sharing-rule.words.drinking-first'),
    ...(minimums.length > 0 ? [t('sharing-rule.words.minimums', { minimums: minimums.join(', ') })] : []),
    places.length > 1
      ? t('sharing-rule.words.order', { order: places.map(namesAt).join(t('sharing-rule.words.then')) })
      : t('sharing-rule.words.together'),
    ...(declaredOn ? [t('sharing-rule.words.late', { date: format.date(declaredOn) })] : []),
  ]
}

function classTable(rule: WeekRule, { locale: { t }, format }: Words): Pick<RuleWords, 'example' | 'rows'> {
  const { rows, spareM3 } = classExample(rule)
  return {
    example: t('sharing-rule.words.class-example', {
      water: format.one(EXAMPLE_WATER_M3 - spareM3),
      need: EXAMPLE_NEED_M3,
    }),
    rows: rows.map((row) => ({ label: t(`sharing-rule.class.${row.class}`), value: format.tenth(row.givenM3) })),
  }
}

function protectedSentences({ protectedPlots }: WeekRule, { locale: { t } }: Words, plots: readonly Named[]): string[] {
  const named = protectedPlots.flatMap((one) => {
    const plot = plots.find(({ id }) => id === one.plotId)
    return plot ? [{ ...one, number: plot.number, words: `${plot.number} ${plot.name}` }] : []
  })
  if (named.length === 0) return [t('sharing-rule.words.protected-none')]
  named.sort((a, b) => a.number - b.number)
  const stages = [...new Set(named.map((one) => one.upToStage))]
  const sentences = stages.map((stage) => {
    const own = named.filter((one) => one.upToStage === stage).map((one) => one.words)
    return stage === null
      ? t('sharing-rule.words.protected-always', { plots: own.join(', ') })
      : t('sharing-rule.words.protected-until', { plots: own.join(', '), stage })
  })
  return [...sentences, t('sharing-rule.words.protected-example')]
}

function spareSentence({ sparePart }: WeekRule, { locale: { t }, format }: Words): string {
  if (sparePart === 0) return t('sharing-rule.words.spare-none')
  return t('sharing-rule.words.spare-part', {
    part: format.percent(sparePart),
    water: EXAMPLE_WATER_M3,
    spare: format.one(EXAMPLE_WATER_M3 * sparePart),
    booked: format.one(EXAMPLE_WATER_M3 * (1 - sparePart)),
  })
}

/** A turn of 6 m3 was missed, and the plot needs as much as those of the example. */
const EXAMPLE_MISSED_M3 = 6

function carryOverSentences({ carryOver }: WeekRule, { locale: { t }, format }: Words): string[] {
  const { excusedDays, excusedCapPart } = carryOver
  const values = {
    days: excusedDays,
    cap: format.percent(excusedCapPart ?? 1),
    missed: EXAMPLE_MISSED_M3,
    need: EXAMPLE_NEED_M3,
    carried: format.one(Math.min(EXAMPLE_MISSED_M3, (excusedCapPart ?? Number.POSITIVE_INFINITY) * EXAMPLE_NEED_M3)),
  }
  const excused = excusedDays === 0 ? 'none' : excusedCapPart === null ? 'uncapped' : 'capped'
  return [
    t(`sharing-rule.words.excused-${excused}`, values),
    t('sharing-rule.words.no-show'),
    t('sharing-rule.words.breakdown'),
    t('sharing-rule.words.carry-over-level'),
  ]
}
