import { z } from 'zod'
import { isCalendarDate } from '../../../domain/calendar.ts'
import { parseDecimal } from '../figures/decimal.ts'
import type { Values } from '../figures/locale.ts'
import { parseArea, parseDegrees } from '../figures/measures.ts'
import type { UsualFigure } from './usual.ts'

type Control = 'text' | 'number' | 'date' | 'time' | 'select' | 'checks' | 'tick' | 'lines' | 'password' | 'file'

/** One field of a form: how it is read and how it is shown. Label and hint come from the catalogue by the form's name. */
export interface Field<T = unknown> {
  control: Control
  schema: z.ZodType<T>
  optional?: boolean
  /** Left empty, it stands for what nobody knows. */
  isUnknownable?: boolean
  /** Seldom needed: folded away until somebody opens it. */
  isSeldom?: boolean
  /** Whole numbers open the digit keys, others the decimal keys. */
  whole?: boolean
  /** An amount in the group's currency. */
  isMoney?: boolean
  /** The largest number that is taken. */
  most?: number
  /** What the figure is, where beyond its usual bounds the form asks whether it is so. */
  usual?: UsualFigure
  autocomplete?: string
  /** Values of a select or of ticks whose words are in the catalogue under `<form>.<field>.<value>`. */
  choices?: readonly string[]
  /** The key of its words, where they are the same in every form that has it. */
  words?: string
}

type Context = z.RefinementCtx

/** Says what is wrong by a key of the catalogue and its values; returned so that a transform can stop there. */
export function refuse(ctx: Context, key: string, values: Values = {}): never {
  ctx.addIssue({ code: 'custom', message: key, params: values })
  return z.NEVER
}

export function text({ max = 80 }: { max?: number } = {}): Field<string> {
  return { control: 'text', schema: z.string().transform((value, ctx) => shortText(value, max, ctx)) }
}

export function lines({ max = 400_000 }: { max?: number } = {}): Field<string> {
  return { control: 'lines', schema: z.string().transform((value, ctx) => shortText(value, max, ctx)) }
}

function shortText(value: string, max: number, ctx: Context): string {
  if (value === '') return refuse(ctx, 'error.missing')
  return value.length > max ? refuse(ctx, 'error.too-long', { max }) : value
}

export function password({ min = 8, autocomplete = 'new-password' } = {}): Field<string> {
  const schema = z.string().transform((value, ctx) => {
    return value.length < min || value.length > 200 ? refuse(ctx, 'error.password-length', { min }) : value
  })
  return { control: 'password', schema, autocomplete }
}

interface Limits {
  min: number
  max: number
}

export function number({ min, max }: Limits, usual?: UsualFigure): Field<number> {
  const schema = z.string().transform((value, ctx) => decimal(value, min, max, ctx))
  return { control: 'number', schema, most: max, usual }
}

export function whole({ min, max }: Limits, usual?: UsualFigure): Field<number> {
  const schema = z.string().transform((value, ctx) => {
    const read = decimal(value, min, max, ctx)
    return Number.isInteger(read) ? read : refuse(ctx, 'error.number-whole', { min, max })
  })
  return { control: 'number', schema, whole: true, most: max, usual }
}

/** An area in m2, or its two sides as `20 x 15`. */
export function area({ min, max }: Limits, usual?: UsualFigure): Field<number> {
  const read = (value: string, ctx: Context) => decimal(value, min, max, ctx, parseArea)
  return { control: 'text', schema: z.string().transform(read), most: max, usual }
}

/** A place on the map in degrees, with a sign or with the letter of its half of the earth. */
export function degrees(letters: 'NS' | 'EW', most: number): Field<number> {
  const parse = (value: string) => parseDegrees(value, letters)
  const read = (value: string, ctx: Context) => decimal(value, -most, most, ctx, parse)
  return { control: 'text', schema: z.string().transform(read), most }
}

type Parse = (text: string) => number | 'ambiguous' | null

function decimal(value: string, min: number, max: number, ctx: Context, parse: Parse = parseDecimal): number {
  if (value === '') return refuse(ctx, 'error.missing')
  const read = parse(value)
  if (read === 'ambiguous') return refuse(ctx, 'error.number-ambiguous', { typed: value })
  if (read === null) return refuse(ctx, 'error.number', { typed: value })
  return read < min || read > max ? refuse(ctx, 'error.number-range', { min, max }) : read
}

export function date(): Field<string> {
  const schema = z.string().transform((value, ctx) => {
    if (value === '') return refuse(ctx, 'error.missing')
    return isCalendarDate(value) ? value : refuse(ctx, 'error.date', { typed: value })
  })
  return { control: 'date', schema }
}

export function time(): Field<string> {
  const schema = z.string().transform((value, ctx) => {
    if (value === '') return refuse(ctx, 'error.missing')
    const read = /^([01]?\d|2[0-3])[:.hH]([0-5]\d)(:[0-5]\d)?$/.exec(value)
    return read ? `${read[1]!.padStart(2, '0')}:${read[2]}` : refuse(ctx, 'error.time', { typed: value })
  })
  return { control: 'time', schema }
}

/** One of a list. With `choices` the words are in the catalogue; without, the page hands over the options. */
export function select<const C extends readonly string[]>(choices?: C): Field<C[number]> {
  const schema = z.string().transform((value, ctx) => {
    if (value === '') return refuse(ctx, 'error.choose')
    return choices && !choices.includes(value) ? refuse(ctx, 'error.choose') : (value as C[number])
  })
  return { control: 'select', schema, choices }
}

/** Any number of a list. */
export function checks<const C extends readonly string[]>(choices?: C, { atLeast = 0 } = {}): Field<C[number][]> {
  const schema = z.array(z.string()).transform((values, ctx) => {
    if (values.length < atLeast) return refuse(ctx, 'error.choose')
    const known = !choices || values.every((value) => choices.includes(value))
    return known ? (values as C[number][]) : refuse(ctx, 'error.choose')
  })
  return { control: 'checks', schema, choices }
}

export function tick(): Field<boolean> {
  return { control: 'tick', schema: z.string().transform((value) => value !== ''), optional: true }
}

/** An upload; the text arrives as it is in the file. */
export function file(): Field<string> {
  const schema = z.string().transform((value, ctx) => (value === '' ? refuse(ctx, 'error.file-missing') : value))
  return { control: 'file', schema }
}

export function optional<T>(field: Field<T>): Field<T | null> {
  const schema = z.any().transform((value, ctx): T | null => {
    if (value === '' || value === undefined) return null
    const read = field.schema.safeParse(value)
    if (read.success) return read.data
    for (const issue of read.error.issues) refuse(ctx, issue.message, 'params' in issue ? (issue.params as Values) : {})
    return z.NEVER
  })
  return { ...field, schema, optional: true }
}

/** A figure that a group may not know: left empty, or written as a question mark, it is kept as not known. */
export function orUnknown<T>(field: Field<T>): Field<T | null> {
  const { schema } = optional(field)
  return {
    ...field,
    schema: z.preprocess((typed) => (typed === '?' ? '' : typed), schema),
    optional: true,
    isUnknownable: true,
  }
}

/** May stay empty where another line of the same form says it. */
export function unlessSaid<T>(field: Field<T>): Field<T | null> {
  return { ...optional(field), optional: false }
}

/** May stay empty and mostly does, so that it stands folded under the lines that everybody needs. */
export function seldom<T>(field: Field<T>): Field<T | null> {
  return { ...optional(field), isSeldom: true }
}

/** Filled in already as most leave it, so that it stands folded; it may not stay empty. */
export function folded<T>(field: Field<T>): Field<T> {
  return { ...field, isSeldom: true }
}
