import type { FastifyRequest } from 'fastify'
import type { Permission } from '../../../domain/people/permissions.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Field } from '../../web/forms/fields.ts'
import { type Filled, type Form, readForm, type Typed, withError } from '../../web/forms/forms.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { Keeping } from './kept-store.ts'

export interface Trouble {
  trouble: { field: string; key: string; values?: Values }
}

/** A small book of the log that is one form: how a line of it is checked and written. */
export type Fields = Record<string, Field>

type DataOf<F extends Fields> = NonNullable<ReturnType<typeof readForm<F>>['data']>

export interface Register<F extends Fields> {
  path: string
  kind: string
  title: string
  permission: Permission
  form: (request: FastifyRequest) => Form<F>
  /** What stands in the form before anybody types. */
  start?: (request: FastifyRequest) => Promise<Typed>
  /** `corrects` names the line that is written anew, so that it does not stand in its own way. */
  facts: (data: DataOf<F>, request: FastifyRequest, corrects?: string) => Promise<Facts | Trouble>
  /** Where its lines are kept, and how one stands in the form again: whatever has this can be looked through and corrected. */
  kept?: Keeping
  /** The day and the clock of the event itself, by the names of their fields. */
  onField: string
  atField?: string
  intro?: string[]
  cautions?: string[]
  back: string
}

/** The line that a new one replaces, and why. */
interface Corrects {
  correctsId: string
  reason: string
}

/** A line that can be written, or the form with what must be mended. */
type RegisterLine = { ok: true; write: (pen: Pen) => Promise<string> } | { ok: false; form: Filled }

/** Checks what was typed for one line, on the screen or on a page of paper. */
export async function registerLine<F extends Fields>(
  register: Register<F>,
  body: unknown,
  { request, at, corrects }: { request: FastifyRequest; at: Date; corrects?: Corrects },
): Promise<RegisterLine> {
  const form = readForm(register.form(request), body)
  if (!form.ok) return { ok: false, form }
  const day = String(form.data[register.onField])
  if (day > request.visit.today) {
    return { ok: false, form: withError(form, register.onField, 'abstractions.draw.future') }
  }
  const facts = await register.facts(form.data, request, corrects?.correctsId)
  if (isTrouble(facts)) {
    const { field, key, values } = facts.trouble
    return { ok: false, form: withError(form, field, key, values) }
  }
  const clock = register.atField ? String(form.data[register.atField]) : '12:00'
  const written = at.toISOString()
  const moment = localInstant(day, clock, request.visit.group?.timeZone ?? 'UTC')
  const happenedAt = moment === null || moment > written ? written : moment
  return { ok: true, write: (pen) => appendEntry(pen, { kind: register.kind, happenedAt, ...corrects }, facts) }
}

export function trouble(field: string, key: string, values: Values = {}): Trouble {
  return { trouble: { field, key, values } }
}

function isTrouble(facts: Facts | Trouble): facts is Trouble {
  return 'trouble' in facts
}
