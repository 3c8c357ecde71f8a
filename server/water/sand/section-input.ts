import { InputError } from '../../../domain/input-error.ts'
import type { Sediment } from '../../../domain/water/data/specific-yield.ts'
import { type CrossSection, type ProbedPoint, surveyedSandBody } from '../../../domain/water/sand/body.ts'
import { leastCrestLevelM, leastMeasures } from '../../../domain/water/sand/unmeasured.ts'
import type { Values } from '../../web/figures/locale.ts'
import { readFigureLines } from '../../web/forms/figure-lines.ts'
import { type Filled, type ReadForm, type Typed, withError } from '../../web/forms/forms.ts'
import { deepestBedM, levelsOf, type WeirSurvey } from './description.ts'
import { MOST_SECTIONS, type sectionForm } from './section-forms.ts'
import { type NewProbedSurvey, type SandLayerKind, yieldingLayers } from './survey-store.ts'

type Read<F extends { fields: Record<string, { schema: import('zod').z.ZodType }> }> = {
  [N in keyof F['fields']]: import('zod').z.output<F['fields'][N]['schema']>
}
type SectionInput = Read<ReturnType<typeof sectionForm>>

type Outcome = { survey: Omit<NewProbedSurvey, 'weirId'> } | { problem: ReadForm<never> }

/** What was typed as a probed survey, or what is wrong with it beside its field, by section and line. */
export function probedSurveyOfInput(input: SectionInput, form: Filled, today: string): Outcome {
  try {
    return { survey: checkedSurvey(input, today) }
  } catch (error) {
    if (!(error instanceof FieldFault)) throw error
    return { problem: withError(form, error.field, error.key, error.values) }
  }
}

/** A fault with the field that can mend it. */
class FieldFault extends Error {
  readonly field: string
  readonly key: string
  readonly values: Values

  constructor(field: string, key: string, values: Values = {}) {
    super(key)
    this.field = field
    this.key = key
    this.values = values
  }
}

function checkedSurvey(input: SectionInput, today: string): Omit<NewProbedSurvey, 'weirId'> {
  const { tail: tailChainageM, loss, fromOn } = input
  const slots = slotsOf(input)
  const sections = slots.map(({ section }) => section)
  const layers = layersOf(input)
  if (!sections[0]) throw new FieldFault('section1Lines', 'storage.error.no-sections')
  const crestLevelM = input.crestLevel ?? leastCrestLevelM(sections[0])
  try {
    surveyedSandBody({ sections, tailChainageM, crestLevelM, layers: yieldingLayers(layers) })
  } catch (error) {
    if (error instanceof InputError) throw faultOf(error, slots)
    throw error
  }
  const bedLevelM = deepestBedM(sections)
  const least = leastMeasures({ crestHeightM: crestLevelM - bedLevelM })
  const offTakeLevel = input.offTakeLevel ?? bedLevelM + least.offTakeAboveBedM
  const markLevel = input.markLevel ?? crestLevelM + least.markAboveCrestM
  if (!(offTakeLevel >= bedLevelM && offTakeLevel < crestLevelM))
    throw new FieldFault('offTakeLevel', 'storage.error.off-take-not-in-sand', { bed: bedLevelM, crest: crestLevelM })
  if (!(markLevel > bedLevelM)) throw new FieldFault('markLevel', 'storage.error.mark-below-bed', { bed: bedLevelM })
  if (fromOn > today) throw new FieldFault('fromOn', 'water.weir.future')
  return {
    fromOn,
    crestLevelM,
    offTakeAboveBedM: offTakeLevel - bedLevelM,
    markAboveCrestM: markLevel - crestLevelM,
    lossCmPerDay: loss,
    sections,
    tailChainageM,
    layers,
    unmeasured: UNMEASURED_LEVELS.filter((figure) => input[FIELDS[figure]] === null),
  }
}

const FIELDS = { 'crest-level': 'crestLevel', 'off-take': 'offTakeLevel', mark: 'markLevel' } as const
const UNMEASURED_LEVELS = Object.keys(FIELDS) as (keyof typeof FIELDS)[]

interface Slot {
  number: number
  section: CrossSection
}

function slotsOf(input: SectionInput): Slot[] {
  const slots: Slot[] = []
  const typed = input as Readonly<Record<string, number | string | null | undefined>>
  for (let number = 1; number <= MOST_SECTIONS; number++) {
    const chainageM = (typed[`section${number}Distance`] ?? null) as number | null
    const text = (typed[`section${number}Lines`] ?? null) as string | null
    if (chainageM === null && text === null) continue
    if (chainageM === null) throw new FieldFault(`section${number}Distance`, 'storage.error.section-halves')
    if (text === null) throw new FieldFault(`section${number}Lines`, 'storage.error.section-halves')
    slots.push({ number, section: { chainageM, points: pointsOf(text, `section${number}Lines`) } })
  }
  return slots
}

function pointsOf(text: string, field: string): ProbedPoint[] {
  const points: ProbedPoint[] = []
  for (const { line, figures } of linesOf(text, field)) {
    const [offsetM, sandLevelM, bedLevelM] = figures as [number, number, number]
    const before = points.at(-1)
    if (before && !(offsetM > before.offsetM))
      throw new FieldFault(field, 'storage.error.offset-not-rising', { line, offset: offsetM, before: before.offsetM })
    if (bedLevelM > sandLevelM)
      throw new FieldFault(field, 'storage.error.bed-above-sand', { line, bed: bedLevelM, sand: sandLevelM })
    points.push({ offsetM, sandLevelM, bedLevelM })
  }
  return points
}

function linesOf(text: string, field: string) {
  try {
    return readFigureLines(text, 3)
  } catch (error) {
    if (error instanceof InputError) throw new FieldFault(field, `storage.error.${error.code}`, error.values)
    throw error
  }
}

/** Of three places for layers the last that is filled reaches the bed. */
function layersOf(input: SectionInput): SandLayerKind[] {
  const places = [
    { sandType: input.layer1Sand, depthM: input.layer1Depth },
    { sandType: input.layer2Sand, depthM: input.layer2Depth },
    { sandType: input.layer3Sand, depthM: null },
  ]
  const filled = places.filter((place): place is { sandType: Sediment; depthM: number | null } => !!place.sandType)
  return filled.map(({ sandType, depthM }, at) => {
    const isLast = at === filled.length - 1
    const field = `layer${(places as unknown[]).indexOf(filled[at]) + 1}Depth`
    if (!isLast && depthM === null) throw new FieldFault(field, 'storage.error.layer-without-depth')
    if (isLast && depthM !== null) throw new FieldFault(field, 'storage.error.layer-does-not-reach-bed')
    return { toDepthM: isLast ? null : depthM, sandType }
  })
}

const FIELD_OF_CODE: Readonly<Record<string, string>> = {
  'no-sections': 'section1Lines',
  'one-section-without-tail': 'tail',
  'tail-not-beyond-sections': 'tail',
  'crest-not-above-bed': 'crestLevel',
  'layer-depth-not-rising': 'layer2Depth',
}

function faultOf({ code, values }: InputError, slots: readonly Slot[]): FieldFault {
  const at = slots.findLast(({ section }) => section.chainageM === values.chainageM)?.number ?? 1
  const part = code === 'chainage-not-rising' ? 'Distance' : 'Lines'
  return new FieldFault(FIELD_OF_CODE[code] ?? `section${at}${part}`, `storage.error.${code}`, values)
}

/** Levels that nobody measured stay open; without the wall's own level those reckoned from it do too. */
function unknownLevels({ unmeasured, tape }: WeirSurvey): Typed {
  const isAdrift = tape !== null && unmeasured.includes('crest-level')
  const open = UNMEASURED_LEVELS.filter((figure) => isAdrift || unmeasured.includes(figure))
  return Object.fromEntries(open.map((figure) => [FIELDS[figure], '']))
}

/** The form as the last description filled it, for a new survey that changes a part. */
export function inputOfDescription(survey: WeirSurvey): Typed {
  const { offTakeLevelM, markLevelM } = levelsOf(survey)
  const tidy = (value: number) => String(Number(value.toFixed(4)))
  const typed: Typed = {
    crestLevel: tidy(survey.crestLevelM),
    offTakeLevel: tidy(offTakeLevelM),
    markLevel: tidy(markLevelM),
    ...unknownLevels(survey),
    loss: survey.lossCmPerDay === null ? '' : tidy(survey.lossCmPerDay),
    layer1Sand: survey.tape?.sandType ?? '',
  }
  survey.probed?.sections.forEach(({ chainageM, points }, at) => {
    typed[`section${at + 1}Distance`] = tidy(chainageM)
    typed[`section${at + 1}Lines`] = points
      .map(({ offsetM, sandLevelM, bedLevelM }) => [offsetM, sandLevelM, bedLevelM].map(tidy).join('; '))
      .join('\n')
  })
  survey.probed?.layers.forEach(({ toDepthM, sandType }, at) => {
    typed[`layer${at + 1}Sand`] = sandType
    typed[`layer${at + 1}Depth`] = toDepthM === null ? '' : tidy(toDepthM)
  })
  if (survey.probed?.tailChainageM != null) typed.tail = tidy(survey.probed.tailChainageM)
  return typed
}
