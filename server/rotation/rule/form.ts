import type { CalendarDate } from '../../../domain/calendar.ts'
import { PLOT_CLASSES, type PlotClass } from '../../../domain/people/plot-class.ts'
import { hasWeight, type RuleMix, type WeekRule } from '../../../domain/rotation/rule/types.ts'
import { minuteField } from '../../people/decision/state.ts'
import { date, type Field, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, type Form, readForm, withError } from '../../web/forms/forms.ts'
import { type ProtectedInput, plotsByNumber } from './input.ts'

const WEIGHT_FIELDS = ['equalWeight', 'areaWeight', 'shareWeight', 'personsWeight', 'needWeight'] as const
const MIX_FIELDS = [...WEIGHT_FIELDS, 'areaCap'] as const
const weight = () => number({ min: 0, max: 100 })
const areaCap = () => optional(number({ min: 1, max: 1_000_000 }))
const place = () => whole({ min: 1, max: 9 })
const minimum = () => optional(number({ min: 1, max: 100 }))

const SharingRuleForm = defineForm('sharing-rule.rule', {
  equalWeight: weight(),
  areaWeight: weight(),
  shareWeight: weight(),
  personsWeight: weight(),
  needWeight: weight(),
  areaCap: areaCap(),
  admission: select(['request', 'crop']),
  nurseryPlace: place(),
  nurseryMinimum: minimum(),
  perennialsPlace: place(),
  perennialsMinimum: minimum(),
  foodPlace: place(),
  foodMinimum: minimum(),
  marketPlace: place(),
  marketMinimum: minimum(),
  latePlace: place(),
  lateMinimum: minimum(),
  declaredOn: optional(date()),
  protectedAlways: optional(text({ max: 200 })),
  protectedUntil: optional(text({ max: 200 })),
  untilStage: optional(whole({ min: 0, max: 9 })),
  spare: number({ min: 0, max: 50 }),
  excusedDays: whole({ min: 0, max: 60 }),
  excusedCap: optional(number({ min: 1, max: 100 })),
  fromOn: date(),
  minute: optional(minuteField()),
})

/** The groups of fields as the page shows them. */
export const RULE_SECTIONS: { name: string; fields: string[] }[] = [
  { name: 'part', fields: [...MIX_FIELDS, 'admission'] },
  { name: 'classes', fields: [...PLOT_CLASSES.flatMap((each) => [`${each}Place`, `${each}Minimum`]), 'declaredOn'] },
  { name: 'protected', fields: ['protectedAlways', 'protectedUntil', 'untilStage'] },
  { name: 'spare', fields: ['spare'] },
  { name: 'carry-over', fields: ['excusedDays', 'excusedCap'] },
  { name: 'from', fields: ['fromOn', 'minute'] },
]

type NumberedWeir = { id: string; number: number }

/** A field of the mix for one weir's water; its words are those of the group's mix. */
function weirField(weir: NumberedWeir, field: string): string {
  return `weir${weir.number}-${field}`
}

export function weirFields(weir: NumberedWeir): string[] {
  return MIX_FIELDS.map((field) => weirField(weir, field))
}

function weirMixForm(weirs: readonly NumberedWeir[]): Form<Record<string, Field<number | null>>> {
  const fields: Record<string, Field<number | null>> = {}
  for (const weir of weirs) {
    for (const field of WEIGHT_FIELDS) fields[weirField(weir, field)] = optional(weight())
    fields[weirField(weir, 'areaCap')] = areaCap()
  }
  return defineForm('sharing-rule.rule', fields)
}

/** All fields of the rule, those of each weir too, for the page that shows them. */
export function wholeRuleForm(weirs: readonly NumberedWeir[]): Form {
  return defineForm(SharingRuleForm.name, { ...SharingRuleForm.fields, ...weirMixForm(weirs).fields })
}

interface RulePlaces {
  weirs: readonly NumberedWeir[]
  plots: readonly { id: string; number: number }[]
}

/** The form as the rule stands, so that a new version begins from the last. */
export function filledFromRule(rule: WeekRule, { weirs, plots }: RulePlaces, fromOn: CalendarDate): Filled {
  const numbersOf = (upTo: (stage: number | null) => boolean) =>
    rule.protectedPlots
      .filter((one) => upTo(one.upToStage))
      .flatMap(({ plotId }) => plots.find((plot) => plot.id === plotId)?.number ?? [])
      .sort((a, b) => a - b)
      .join(', ')
  const stage = rule.protectedPlots.find((one) => one.upToStage !== null)?.upToStage
  const values: Record<string, string> = {
    ...mixValues(rule, (field) => field),
    admission: rule.admission,
    declaredOn: rule.declaredOn ?? '',
    protectedAlways: numbersOf((upTo) => upTo === null),
    protectedUntil: numbersOf((upTo) => upTo !== null),
    untilStage: stage === undefined || stage === null ? '' : String(stage),
    spare: percentOf(rule.sparePart),
    excusedDays: String(rule.carryOver.excusedDays),
    excusedCap: percentOf(rule.carryOver.excusedCapPart),
    fromOn,
  }
  for (const one of rule.classes) {
    values[`${one.class}Place`] = String(one.place)
    values[`${one.class}Minimum`] = percentOf(one.minimumPart)
  }
  for (const weir of weirs) {
    const mix = rule.byWeir[weir.id]
    if (mix)
      Object.assign(
        values,
        mixValues(mix, (field) => weirField(weir, field)),
      )
  }
  return emptyForm(values)
}

function mixValues(mix: RuleMix, nameOf: (field: string) => string): Record<string, string> {
  const weights = WEIGHT_FIELDS.map((field) => [nameOf(field), String(mix[field])])
  return { ...Object.fromEntries(weights), [nameOf('areaCap')]: mix.areaCapM2 === null ? '' : String(mix.areaCapM2) }
}

function percentOf(part: number | null): string {
  return part === null ? '' : String(Math.round(part * 1e6) / 1e4)
}

type ReadRule = { ok: true; rule: WeekRule; minute: string | null } | { ok: false; filled: Filled }

/** The rule as it was typed; `earliestOn` is null for the group's first version, which may begin in the past. */
export function readRule(body: unknown, places: RulePlaces, earliestOn: CalendarDate | null): ReadRule {
  const form = readForm(SharingRuleForm, body)
  const mixes = readForm(weirMixForm(places.weirs), body)
  const filled: Filled = {
    values: { ...form.values, ...mixes.values },
    errors: { ...form.errors, ...mixes.errors },
  }
  if (!form.ok || !mixes.ok) return { ok: false, filled }
  const { data } = form
  const refused = (field: string, key: string, values = {}): ReadRule => {
    return { ok: false, filled: withError(filled, field, key, values) }
  }
  const mix = mixOf(data)
  if (!hasWeight(mix)) return refused('equalWeight', 'sharing-rule.rule.no-weight')
  if (earliestOn !== null && data.fromOn < earliestOn) return refused('fromOn', 'sharing-rule.rule.past')
  const byWeir: Record<string, RuleMix> = {}
  for (const weir of places.weirs) {
    const own = mixOf(
      Object.fromEntries(MIX_FIELDS.map((field) => [field, mixes.data[weirField(weir, field)] ?? null])),
    )
    if (hasWeight(own)) byWeir[weir.id] = own
    else if (own.areaCapM2 !== null) return refused(weirField(weir, 'equalWeight'), 'sharing-rule.rule.no-weight')
  }
  const guarded = plotsByNumber(data as ProtectedInput, places.plots)
  if (!guarded.ok) return refused(guarded.field, guarded.key, guarded.values)
  return {
    ok: true,
    minute: data.minute,
    rule: {
      ...mix,
      fromOn: data.fromOn,
      admission: data.admission,
      byWeir,
      classes: PLOT_CLASSES.map((each) => classOf(each, data)),
      declaredOn: data.declaredOn,
      protectedPlots: guarded.protectedPlots,
      sparePart: data.spare / 100,
      carryOver: { excusedDays: data.excusedDays, excusedCapPart: partOf(data.excusedCap) },
    },
  }
}

function mixOf(data: Partial<Record<(typeof MIX_FIELDS)[number], number | null>>): RuleMix {
  const [equalWeight, areaWeight, shareWeight, personsWeight, needWeight] = WEIGHT_FIELDS.map(
    (field) => data[field] ?? 0,
  )
  return {
    equalWeight: equalWeight!,
    areaWeight: areaWeight!,
    shareWeight: shareWeight!,
    personsWeight: personsWeight!,
    needWeight: needWeight!,
    areaCapM2: data.areaCap ?? null,
  }
}

function classOf(each: PlotClass, data: Record<string, unknown>) {
  return {
    class: each,
    place: data[`${each}Place`] as number,
    minimumPart: partOf(data[`${each}Minimum`] as number | null),
  }
}

function partOf(percent: number | null): number | null {
  return percent === null ? null : percent / 100
}
