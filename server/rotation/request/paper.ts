import { date, optional, seldom, select } from '../../web/forms/fields.ts'
import { defineForm, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PaperBook, TakeRow } from '../../web/pages/paper-book.ts'
import { localDate, localInstant } from '../../web/pages/visit.ts'
import { customWishRefusal } from '../custom-refusal.ts'
import { daysToName } from '../day-in-week.ts'
import { findPublishedWeek } from '../published/store.ts'
import { wishRefusal } from '../rest-refusal.ts'
import { rareOnPlot, volumeOptions } from '../typed-volume.ts'
import { RequestForm } from './forms.ts'
import { requestOfInput } from './input.ts'
import { addRequest } from './store.ts'

const BESIDE = { askedOn: date(), askerId: optional(select()) }

/** The booking list on paper: the form of the screen, with the day and the person that the screen knows by itself. */
const OF_PAPER = { ...BESIDE, ...RequestForm.fields }
const PaperRequestForm = defineForm('rotation.request', OF_PAPER)

/** The same with the days that the group's weeks can name. */
function printed({ group, today }: Desk) {
  const day = seldom(select(daysToName(group, [today])))
  return defineForm('rotation.request', { ...OF_PAPER, wishedDay: day, cannotDay: day })
}

/** The booking list on paper. */
export const requestBook: PaperBook = {
  name: 'requests',
  sheet: (desk) => ({ form: printed(desk), head: ['askedOn', 'weekStartOn'], without: ['askedHow', 'bearer'] }),
  words: async (desk) => ({ askedIn: await volumeOptions(desk) }),
  typing: { permission: 'abstraction.log', rows: requestRows },
}

/** What was asked in time counts from the day of asking, however late it is typed. */
async function requestRows(desk: Desk): Promise<TakeRow> {
  const { db, today, timeZone, at } = desk
  const urgentOf = new Map<string, number>()
  return async (body) => {
    const form = readForm(PaperRequestForm, body)
    if (!form.ok) return { ok: false, form }
    const { askedOn, askerId, ...asking } = form.data
    if (askedOn > today) return { ok: false, form: withError(form, 'askedOn', 'abstractions.draw.future') }
    const published = await findPublishedWeek(db, asking.weekStartOn)
    if (published && askedOn > localDate(new Date(published.publishedAt), timeZone)) {
      return { ok: false, form: withError(form, 'askedOn', 'rotation.request.too-late') }
    }
    const urgentOnPage = urgentOf.get(asking.plotId) ?? 0
    const read = await requestOfInput(db, asking, { today, timeZone, urgentOnPage })
    if ('field' in read) return { ok: false, form: withError(form, read.field, read.key, read.values) }
    const rare = rareOnPlot(desk, form, { ...read.plot, ...read.asked })
    if (rare) return { ok: false, form: rare }
    const rests = await wishRefusal(desk, asking, read.plot)
    if (rests) return { ok: false, form: withError(form, 'wishedDay', ...rests) }
    const free = await customWishRefusal(desk, asking, read.plot)
    if (free) return { ok: false, form: withError(form, free.field, free.key, free.values) }
    if (asking.urgent !== null) urgentOf.set(asking.plotId, urgentOnPage + 1)
    const forPersonId = askerId ?? read.plot.holders[0]?.id ?? null
    const noon = localInstant(askedOn, '12:00', timeZone)
    const happenedAt = askedOn === today || noon === null ? at.toISOString() : noon
    return { ok: true, write: (pen) => addRequest(pen, { ...read.asked, forPersonId, happenedAt }) }
  }
}
