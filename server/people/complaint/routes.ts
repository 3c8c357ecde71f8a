import { askedSentence } from '../../book/asked/fields.ts'
import { askedFacts, askedThroughOf } from '../../book/asked/store.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { minuteOptions, minutesOfActs } from '../decision/state.ts'
import { hasSecondOfficer } from '../person/grave-store.ts'
import { listPersons } from '../person/store.ts'
import { listPlots } from '../plot/store.ts'
import { ComplaintForm, HearingForm } from './forms.ts'
import { mayReadComplaint } from './state.ts'
import { type Complaint, listComplaints, writeComplaint, writeHearing } from './store.ts'

/** What people complain about: said by anybody, heard by somebody without a part in it, and gone on with by another body. */
export function addComplaintPages({ get, post }: Pages): void {
  get('/people/complaints/new', 'people.see', newComplaint)
  post('/people/complaints/new', 'people.see', postComplaint)
  get('/people/complaints/:id', 'people.see', showComplaint)
  post('/people/complaints/:id/hearings', 'decision.write', hear)
}

async function newComplaint(desk: Desk) {
  return show(desk, emptyForm({ byId: desk.person.id, saidOn: desk.today, plotId: desk.query.plot ?? '' }))
}

async function postComplaint(desk: Desk) {
  const form = readForm(ComplaintForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { byId, aboutId, plotId, saidOn } = form.data
  // Another's complaint is written by the committee, as that person said it.
  if (byId !== desk.person.id && !desk.may('decision.write')) throw new PageError(403, 'error.page-403')
  const persons = new Set<string>((await listPersons(desk.db)).map(({ id }) => id))
  for (const [field, id] of [
    ['byId', byId],
    ['aboutId', aboutId],
  ] as const) {
    if (id !== null && !persons.has(id)) return show(desk, withError(form, field, 'error.choose'))
  }
  if (plotId !== null && !(await listPlots(desk.db, desk.today)).some(({ id }) => id === plotId)) {
    return show(desk, withError(form, 'plotId', 'error.choose'))
  }
  if (aboutId === byId) return show(desk, withError(form, 'aboutId', 'complaint.about-oneself'))
  if (saidOn > desk.today) return show(desk, withError(form, 'saidOn', 'complaint.future'))
  return write(
    desk,
    (pen) => writeComplaint(pen, form.data, askedFacts(form.data)),
    (id) => `/people/complaints/${id}`,
  )
}

async function complaintFor(desk: Desk<'id'>): Promise<Complaint> {
  const complaint = found((await listComplaints(desk.db)).find(({ id }) => id === desk.params.id))
  if (!mayReadComplaint(desk, complaint)) throw new PageError(403, 'error.page-403')
  return complaint
}

async function showComplaint(desk: Desk<'id'>) {
  return showWith(desk, await complaintFor(desk), emptyForm({ heardOn: desk.today, ends: 'ends' }))
}

/**
 * An officer with a part in it stands down, and so does whoever wrote it down for another: what that person said is heard by somebody else, as long as
 * another could.
 */
async function mayHear(desk: Desk, { byId, aboutId, writerId, isSettled }: Complaint): Promise<boolean> {
  if (isSettled || !desk.may('decision.write') || [byId, aboutId].includes(desk.person.id)) return false
  if (writerId !== desk.person.id || (await isNewBook(desk.db, desk.at.toISOString()))) return true
  const { db, at, today } = desk
  return !(await hasSecondOfficer(db, { writerId, personId: null, at, today }, 'decision.write'))
}

async function hear(desk: Desk<'id'>) {
  const complaint = await complaintFor(desk)
  if (!(await mayHear(desk, complaint))) throw new PageError(409, 'complaint.hearing.not-yours')
  const form = readForm(HearingForm, desk.body)
  if (!form.ok) return showWith(desk, complaint, form)
  const { minute, ends, ...hearing } = form.data
  if (hearing.heardOn < complaint.saidOn || hearing.heardOn > desk.today) {
    return showWith(desk, complaint, withError(form, 'heardOn', 'complaint.hearing.heard-after'))
  }
  if (complaint.hearings.some(({ body }) => body === hearing.body)) {
    return showWith(desk, complaint, withError(form, 'body', 'complaint.hearing.other-body'))
  }
  return write(
    desk,
    (pen) => writeHearing(pen, complaint, { ...hearing, ends: ends === 'ends' }, minute),
    () => `/people/complaints/${complaint.id}`,
  )
}

async function showWith(desk: Desk<'id'>, complaint: Complaint, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const minutes = await minutesOfActs(desk.db)
  const through = (await askedThroughOf(desk.db, [complaint.id])).get(complaint.id)
  return page(desk, 'people/complaint/page', {
    title: 'complaint.heading',
    titleValues: { name: complaint.byName },
    complaint,
    through: askedSentence(desk.t, through),
    hearings: complaint.hearings.map((one) => ({ ...one, minute: minutes.get(one.id) ?? null })),
    mayHear: await mayHear(desk, complaint),
    form: HearingForm,
    filled,
    options: { minute: await minuteOptions(desk) },
    action: `/people/complaints/${complaint.id}/hearings`,
    submit: 'complaint.hearing.submit',
  })
}

async function show(desk: Desk, filled: Filled) {
  const persons = (await listPersons(desk.db)).map(numberedOption)
  return formPage(desk, {
    title: 'complaint.title',
    form: ComplaintForm,
    filled,
    options: {
      byId: desk.may('decision.write') ? persons : persons.filter(({ value }) => value === desk.person.id),
      aboutId: persons,
      plotId: (await listPlots(desk.db, desk.today)).map(numberedOption),
    },
    action: '/people/complaints/new',
    intro: ['complaint.intro'],
    back: '/people/warnings',
  })
}
