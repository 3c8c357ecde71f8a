import { findPublishedWeek } from '../../rotation/published/store.ts'
import { RequestForm } from '../../rotation/request/forms.ts'
import { requestOfInput } from '../../rotation/request/input.ts'
import { addRequest } from '../../rotation/request/store.ts'
import { date, optional, select } from '../../web/forms/fields.ts'
import { defineForm, readForm, withError } from '../../web/forms/forms.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { TakeRow, Typing } from './types.ts'

/** The booking list on paper: the form of the screen, with the day and the person that the screen knows by itself. */
export const PaperRequestForm = defineForm('rotation.request', {
  askedOn: date(),
  askerId: optional(select()),
  ...RequestForm.fields,
})

/** The booking list typed in. What was asked in time counts from the day of asking, however late it is typed. */
export async function requestRows({ db, request, at }: Typing): Promise<TakeRow> {
  const { today, group } = request.visit
  const urgentOf = new Map<string, number>()
  return async (body) => {
    const form = readForm(PaperRequestForm, body)
    if (!form.ok) return { ok: false, form }
    const { askedOn, askerId, ...asking } = form.data
    if (askedOn > today) return { ok: false, form: withError(form, 'askedOn', 'abstractions.draw.future') }
    const published = await findPublishedWeek(db, asking.weekStartOn)
    if (published && askedOn > published.publishedAt.slice(0, 10)) {
      return { ok: false, form: withError(form, 'askedOn', 'rotation.request.too-late') }
    }
    const urgentOnPage = urgentOf.get(asking.plotId) ?? 0
    const read = await requestOfInput(db, asking, { today, urgentOnPage })
    if ('field' in read) return { ok: false, form: withError(form, read.field, read.key, read.values) }
    if (asking.urgent !== null) urgentOf.set(asking.plotId, urgentOnPage + 1)
    const forPersonId = askerId ?? read.plot.holders[0]?.id ?? null
    const noon = localInstant(askedOn, '12:00', group?.timeZone ?? 'UTC')
    const happenedAt = askedOn === today || noon === null ? at.toISOString() : noon
    return { ok: true, write: (pen) => addRequest(pen, { ...read.asked, forPersonId, happenedAt }) }
  }
}
