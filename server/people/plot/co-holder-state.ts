import type { Id } from '../../../domain/id.ts'
import type { Facts } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { select } from '../../web/forms/fields.ts'
import { defineForm, emptyForm } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import type { Plot } from './store.ts'

/** How a word was given that another person writes in: present, with a mark on the paper; by a message; by a ticket. */
const GIVEN = ['present', 'message', 'ticket'] as const

const CoHolderForm = defineForm('tenure.co-holder', { otherGiven: select(GIVEN) })

type Held = Pick<Plot, 'holders'> | undefined

/**
 * Of those who hold a plot together none gives its water away alone: what one of them writes carries how each other agreed. Nothing
 * is asked of whoever holds it alone or writes by office. Null where it was not said yet: then it is asked for.
 */
export function marksOfOthers(desk: Desk, plot: Held): Pick<Facts, 'holderMark'> | null {
  const others = othersOf(desk, plot)
  if (others.length === 0) return {}
  const given = GIVEN.find((one) => one === desk.posted('otherGiven'))
  return given ? { holderMark: others.map(({ id }) => ({ personId: id, given })) } : null
}

/** Asks how the others agreed, and keeps what was sent until then. */
export function askOthersMark(desk: Desk, plot: Held, back: string) {
  const sent = Object.entries((desk.body ?? {}) as Record<string, unknown>)
  const kept = sent.filter(
    ([name, value]) => !name.startsWith('_') && name !== 'otherGiven' && typeof value === 'string',
  )
  const names = othersOf(desk, plot)
    .map(({ name }) => name)
    .join(', ')
  return formPage(desk, {
    title: 'tenure.co-holder.title',
    form: CoHolderForm,
    filled: emptyForm(),
    hidden: Object.fromEntries(kept) as Record<string, string>,
    notes: [desk.t('tenure.co-holder.intro', { names })],
    action: desk.request.url,
    back,
  })
}

function othersOf({ person }: Desk, plot: Held) {
  const holders = plot?.holders ?? []
  return holders.some(({ id }) => id === person.id) ? holders.filter(({ id }) => id !== person.id) : []
}

/** How others agreed to entries, in words by the entry: `Besi agreed, was present`. */
export async function othersMarks({ db, t }: { db: Database; t: Desk['t'] }, ids: readonly string[]) {
  if (ids.length === 0) return new Map<string, string>()
  const rows = await db
    .selectFrom('holderMark')
    .innerJoin('person', 'person.entryId', 'holderMark.personId')
    .select(['holderMark.entryId', 'given', 'person.name'])
    .where('holderMark.entryId', 'in', ids as Id<'entry'>[])
    .execute()
  return new Map(
    ids.map((id) => [
      id,
      rows
        .filter(({ entryId }) => entryId === id)
        .map(({ name, given }) => t(`tenure.co-holder.line-${given}`, { name }))
        .join(' '),
    ]),
  )
}
