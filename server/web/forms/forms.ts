import type { z } from 'zod'
import type { InputError } from '../../../domain/input-error.ts'
import type { Values } from '../figures/locale.ts'
import type { Field } from './fields.ts'
import { unusual } from './unusual.ts'

export type Fields = Record<string, Field>
export type DataOf<F extends Fields> = { [N in keyof F]: z.output<F[N]['schema']> }

export interface Form<F extends Fields = Fields> {
  /** Where its words are in the catalogue: `<name>.<field>` is a label, `<name>.<field>-hint` a hint. */
  name: string
  fields: F
  /** The lines in their order on the page: those that stand open, then those that are folded away until somebody needs them. */
  lines: { open: string[]; folded: string[] }
}

/**
 * What is wrong with a field, as a key of the catalogue. The name '' stands for the form as a whole. What `asks` is not wrong but
 * unusual: it is taken once it comes with its cross.
 */
type FieldErrors = Record<string, { key: string; values: Values; asks?: boolean }>
export type Typed = Record<string, string | string[]>

/** A form as it was typed: `values` go back into the fields whatever happens. */
export interface Filled {
  values: Typed
  errors: FieldErrors
}
export type ReadForm<D> = Filled & ({ ok: true; data: D } | { ok: false; data?: undefined })

/** One definition serves the screen, the reading of what was typed, and the printed blank. */
export function defineForm<F extends Fields>(name: string, fields: F): Form<F> {
  return { name, fields, lines: linesOf(fields) }
}

/** Some fields of a form in an order of their own, read by the same rules and called by the same words. */
export function someOf<F extends Fields, N extends keyof F & string>(
  { name, fields }: Form<F>,
  names: readonly N[],
): Form<Pick<F, N>> {
  return defineForm(name, Object.fromEntries(names.map((one) => [one, fields[one]])) as Pick<F, N>)
}

/** One line alone is not worth a fold. */
function linesOf(fields: Fields): Form['lines'] {
  const names = Object.keys(fields)
  const seldom = names.filter((name) => fields[name]!.isSeldom)
  const folded = seldom.length > 1 ? seldom : []
  return { open: names.filter((name) => !folded.includes(name)), folded }
}

export function emptyForm(values: Typed = {}): Filled {
  return { values, errors: {} }
}

export function readForm<F extends Fields>(form: Form<F>, body: unknown): ReadForm<DataOf<F>> {
  const posted = (body ?? {}) as Record<string, unknown>
  const values: Typed = {}
  const errors: FieldErrors = {}
  const data: Record<string, unknown> = {}
  for (const [name, field] of Object.entries(form.fields)) {
    const value = typedValue(field, posted[name])
    if (field.control !== 'password' && field.control !== 'file') values[name] = value
    const read = field.schema.safeParse(value)
    const issue = read.success ? undefined : read.error.issues[0]
    if (issue) errors[name] = { key: issue.message, values: 'params' in issue ? (issue.params as Values) : {} }
    else {
      data[name] = read.data
      const asked = isSure(posted, name, value) ? null : questionOf(field, read.data)
      if (asked) errors[name] = asked
    }
  }
  const sure = [posted[SURE] ?? []].flat().map(String)
  if (sure.length > 0) values[SURE] = sure
  if (Object.keys(errors).length > 0) return { ok: false, values, errors }
  return { ok: true, data: data as DataOf<F>, values, errors }
}

/** The crosses beside unusual figures: each names its field and the figure as it was typed, so that another is asked about anew. */
export const SURE = '_sure'

/** Asks whether it is really so: the form is taken once it comes with its cross. Null where that stands there already. */
export function asking(form: Filled, field: string, key: string, values: Values = {}): Filled | null {
  const cross = `${field}:${form.values[field]}`
  if ([form.values[SURE] ?? []].flat().includes(cross)) return null
  return { values: form.values, errors: { [field]: { key, values, asks: true } } }
}

function isSure(posted: Record<string, unknown>, name: string, value: string | string[]): boolean {
  return [posted[SURE] ?? []].flat().includes(`${name}:${value}`)
}

function questionOf({ usual }: Field, value: unknown) {
  const asked = usual && typeof value === 'number' ? unusual(usual, value) : null
  return asked && { ...asked, asks: true }
}

/** Signs that no keyboard types and no list, message or calendar can hold; a tab and the end of a line are none. */
const UNSEEN = /[^\P{Cc}\t\n\r]/gu

function typedValue(field: Field, posted: unknown): string | string[] {
  if (field.control === 'checks') return posted === undefined ? [] : [posted].flat().map(seenOnly)
  const single = Array.isArray(posted) ? posted[0] : posted
  const text = Buffer.isBuffer(single) ? single.toString('utf8') : String(single ?? '')
  return field.control === 'password' || field.control === 'file' ? text : seenOnly(text)
}

function seenOnly(text: unknown): string {
  return String(text).replace(UNSEEN, '').trim()
}

/** Puts what the domain or the book found wrong beside the field that can mend it. */
export function withError(form: Filled, field: string, key: string, values: Values = {}): ReadForm<never> {
  return { ok: false, values: form.values, errors: { ...form.errors, [field]: { key, values } } }
}

export function withInputError(form: Filled, field: string, error: InputError): ReadForm<never> {
  return withError(form, field, `error.${error.code}`, error.values)
}
