import type { Permission } from '../../../domain/people/permissions.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Field } from '../../web/forms/fields.ts'
import { asking, type Filled, type Form, readForm, type Typed, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { appendEntry, type Facts, type Pen } from '../entries.ts'
import type { Line, LineTables } from './line-store.ts'

export type Fields = Record<string, Field>

type DataOf<F extends Fields> = NonNullable<ReturnType<typeof readForm<F>>['data']>

/** What is wrong with a line, beside the field that can mend it. */
export interface Trouble {
  trouble: { field: string; key: string; values?: Values }
}

/** For what the choices are laid out: a new line, a line that is written anew, or words for all that was ever written. */
interface Choosing {
  corrects?: string
  everything?: boolean
}

/** What a line's page shows besides its fields: a view and what it is handed. */
export type About = (desk: Desk, line: Line) => Promise<{ view: string } & Record<string, unknown>>

/** A small book that is one form: how a line of it is checked, written, looked through and corrected. */
export interface Register<F extends Fields> {
  /** Where its form stands and is sent to. */
  writtenAt: string
  kind: string
  title: string
  permission: Permission
  /** Fields that only some may read, whatever else of a line is open. */
  closed?: { to: Permission; fields: readonly string[] }
  form: (desk: Desk) => Form<F>
  /** What stands in the form before anybody types. */
  start?: (desk: Desk) => Promise<Typed>
  /** What the form lets choose from the book, by field. */
  options: (desk: Desk, choosing: Choosing) => Promise<Record<string, Option[]>>
  /** `corrects` names the line that is written anew, so that it does not stand in its own way. */
  facts: (data: DataOf<F>, desk: Desk, corrects?: string) => Promise<Facts | Trouble>
  /** The tables of its lines, and how one stands in the form again: whatever has this can be looked through and corrected. */
  lines?: LineTables
  /** What is asked about, where what follows from the figures is rare. */
  doubt?: (data: DataOf<F>, facts: Facts) => Trouble['trouble'] | null
  about?: About
  /** What is said of a day that has not come yet. */
  tooEarly?: string
  /** The day and the clock of the event itself, by the names of their fields. */
  onField: string
  atField?: string
  /** What is alike for the next line too, beside the day. */
  keeps?: readonly string[]
  intro?: string[]
  cautions?: string[]
  back: string
}

/** The line that a new one replaces, and why. */
export interface Corrects {
  correctsId: string
  reason: string
}

/** A line that can be written, or the form with what must be mended. */
type ReadLine = { ok: true; write: (pen: Pen) => Promise<string> } | { ok: false; form: Filled }

/** Checks what was typed for one line, on the screen or on a page of paper. */
export async function readLine<F extends Fields>(
  register: Register<F>,
  body: unknown,
  desk: Desk,
  corrects?: Corrects,
): Promise<ReadLine> {
  const form = readForm(register.form(desk), body)
  if (!form.ok) return { ok: false, form }
  const day = String(form.data[register.onField])
  if (day > desk.today)
    return { ok: false, form: withError(form, register.onField, register.tooEarly ?? 'error.day-to-come') }
  const facts = await register.facts(form.data, desk, corrects?.correctsId)
  if (isTrouble(facts)) {
    const { field, key, values } = facts.trouble
    return { ok: false, form: withError(form, field, key, values) }
  }
  const rare = register.doubt?.(form.data, facts)
  const asked = rare && asking(form, rare.field, rare.key, rare.values)
  if (asked) return { ok: false, form: asked }
  const clock = register.atField ? String(form.data[register.atField]) : '12:00'
  const written = desk.at.toISOString()
  const moment = localInstant(day, clock, desk.timeZone)
  const happenedAt = moment === null || moment > written ? written : moment
  return { ok: true, write: (pen) => appendEntry(pen, { kind: register.kind, happenedAt, ...corrects }, facts) }
}

export function trouble(field: string, key: string, values: Values = {}): Trouble {
  return { trouble: { field, key, values } }
}

function isTrouble(facts: Facts | Trouble): facts is Trouble {
  return 'trouble' in facts
}
