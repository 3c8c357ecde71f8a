import type { Id } from '../../../domain/id.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { optional, whole } from '../../web/forms/fields.ts'
import { type Filled, type Form, type ReadForm, someOf, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { minuteField } from '../decision/state.ts'
import { type Agreed, hasSecondOfficer, mayStandIn } from '../person/grave-store.ts'
import { listPersons } from '../person/store.ts'

/** What stands under the lines of a grave act: by which minute, and which members stand in where officers are too few. */
export const GRAVE_FIELDS = {
  minute: optional(minuteField()),
  memberA: { ...optional(whole({ min: 1, max: 9999 })), words: 'people.grave.member-a' },
  memberB: { ...optional(whole({ min: 1, max: 9999 })), words: 'people.grave.member-b' },
}

interface Shown {
  form: Form
  notes: string[]
}

/** The lines of a grave act that this visitor needs: none of its own in a new book, members only where officers are too few. */
export async function graveShown(desk: Desk, form: Form, personId: Id<'person'>): Promise<Shown> {
  const own = Object.keys(form.fields).filter((name) => !(name in GRAVE_FIELDS))
  if (await isNewBook(desk.db, desk.at.toISOString())) return { form: someOf(form, own), notes: [] }
  if (await hasSecondOfficer(desk.db, aboutOf(desk, personId)))
    return { form: someOf(form, [...own, 'minute']), notes: [desk.t('people.grave.two')] }
  return { form, notes: [desk.t('people.grave.members')] }
}

type Typed = ReadForm<{ minute: string | null; memberA: number | null; memberB: number | null }> & { ok: true }

/** By what the act will hold, or the form with what is wrong: it is about whoever writes it, or too few can name it. */
export async function agreedBy(desk: Desk, form: Typed, personId: Id<'person'>): Promise<Agreed | { wrong: Filled }> {
  const { minute, memberA, memberB } = form.data
  const none = { minute, memberIds: [] }
  if (await isNewBook(desk.db, desk.at.toISOString())) return none
  if (personId === desk.person.id) return { wrong: withError(form, '', 'people.grave.own') }
  const about = aboutOf(desk, personId)
  if (await hasSecondOfficer(desk.db, about)) return none
  if (minute === null) return { wrong: withError(form, 'minute', 'people.grave.minute-missing') }
  const members = (await listPersons(desk.db)).filter(({ number }) => number === memberA || number === memberB)
  for (const field of ['memberA', 'memberB'] as const) {
    const member = members.find(({ number }) => number === form.data[field])
    const stands = member && memberA !== memberB && (await mayStandIn(desk.db, member.id, about))
    if (!stands) return { wrong: withError(form, field, 'people.grave.member-wrong') }
  }
  return { minute, memberIds: members.map(({ id }) => id) }
}

function aboutOf({ person, at, today }: Desk, personId: Id<'person'>) {
  return { writerId: person.id, personId, at, today }
}
