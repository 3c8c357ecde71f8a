import { askedFields, askedSentence } from '../../book/asked/fields.ts'
import { askedFacts, askedThroughOf } from '../../book/asked/store.ts'
import { write } from '../../book/pen.ts'
import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { minuteField, minuteOptions } from '../decision/state.ts'
import { COUNTED_LAND, landCounted, landM2, landNeeded, landOptions } from '../measure/land-state.ts'
import { listPlots } from '../plot/store.ts'
import { type Applicant, endApplicant, listApplicants, writeApplicant } from './store.ts'

const ApplicantForm = defineForm('applicant', {
  name: text(),
  askedOn: date(),
  area: landM2(),
  shares: number({ min: 0, max: 1000 }, 'shares of a plot'),
  persons: whole({ min: 0, max: 200 }, 'persons in a household'),
  words: optional(text({ max: 200 })),
  ...COUNTED_LAND,
  ...askedFields,
})

const EndForm = defineForm('applicant.end', {
  way: select(['taken-in', 'off']),
  words: text({ max: 200 }),
  minute: optional(minuteField()),
})

/** Another way of sharing, to try what taking somebody in would do by it; only the proportions count. */
const MixForm = defineForm('applicant.mix', {
  equal: optional(number({ min: 0, max: 100 })),
  area: optional(number({ min: 0, max: 100 })),
  share: optional(number({ min: 0, max: 100 })),
  persons: optional(number({ min: 0, max: 100 })),
})

/** The waiting list, and what taking somebody in does to everybody's part before it is decided. */
export function addApplicantPages({ get, post }: Pages): void {
  get('/people/applicants', 'people.see', showAll)
  get('/people/applicants/new', 'decision.write', newApplicant)
  post('/people/applicants/new', 'decision.write', postApplicant)
  get('/people/applicants/:id', 'people.see', showApplicant)
  post('/people/applicants/:id/end', 'decision.write', end)
}

async function showAll(desk: Desk) {
  const { t, format } = desk
  const all = await listApplicants(desk.db)
  const lines = [...all.filter(({ end }) => end === null), ...all.filter(({ end }) => end !== null)]
  return page(desk, 'people/applicant/list', {
    title: 'applicant.list-title',
    lines: lines.map((one, at) => ({
      at: one.end === null ? at + 1 : '–',
      words: one.name,
      small: t('applicant.asked', { date: format.date(one.askedOn), area: format.whole(one.areaM2) }),
      figure: one.end ? t(one.end.takenIn ? 'applicant.taken-in' : 'applicant.off') : '',
      href: `/people/applicants/${one.id}`,
    })),
  })
}

async function newApplicant(desk: Desk) {
  return show(desk, emptyForm({ askedOn: desk.today, shares: '1', persons: '0' }))
}

async function postApplicant(desk: Desk) {
  const form = readForm(ApplicantForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { area, ownArea, ownAreaIn, askedHow, bearer, ...applicant } = form.data
  if (applicant.askedOn > desk.today) return show(desk, withError(form, 'askedOn', 'applicant.future'))
  const land = await landNeeded(desk, form)
  if ('again' in land) return show(desk, land.again)
  return write(
    desk,
    (pen) => writeApplicant(pen, { ...applicant, ...land }, askedFacts({ askedHow, bearer })),
    (id) => `/people/applicants/${id}`,
  )
}

async function applicantOr404({ db, params }: Desk<'id'>): Promise<Applicant> {
  return found((await listApplicants(db)).find(({ id }) => id === params.id))
}

async function showApplicant(desk: Desk<'id'>) {
  return showWith(desk, await applicantOr404(desk), emptyForm())
}

async function end(desk: Desk<'id'>) {
  const applicant = await applicantOr404(desk)
  if (applicant.end !== null) throw new PageError(409, 'applicant.ended')
  const form = readForm(EndForm, desk.body)
  if (!form.ok) return showWith(desk, applicant, form)
  const { way, words, minute } = form.data
  if (way === 'taken-in' && minute === null) {
    return showWith(desk, applicant, withError(form, 'minute', 'applicant.minute-missing'))
  }
  return write(
    desk,
    (pen) => endApplicant(pen, applicant.id, { takenIn: way === 'taken-in', words, minute }),
    () => `/people/applicants/${applicant.id}`,
  )
}

async function showWith(desk: Desk<'id'>, applicant: Applicant, filled: Filled) {
  const { db, today, t, format, parts } = desk
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const mix = readForm(MixForm, desk.query)
  const tried = mix.ok ? triedMix(mix.data) : null
  const trial = applicant.end ? null : await parts.people.trialShares(db, today, applicant, tried)
  const plots = new Map((await listPlots(db, today)).map((plot) => [plot.id as string, plot]))
  const litres = (part: number) => format.one(part * WATER_M3)
  return page(desk, 'people/applicant/page', {
    title: 'applicant.heading',
    titleValues: { name: applicant.name },
    applicant,
    land: await landCounted(desk, applicant.areaM2),
    through: askedSentence(t, (await askedThroughOf(db, [applicant.id])).get(applicant.id)),
    trial: trial?.map(({ id, before, after }) => {
      const plot = plots.get(id)
      const who = plot ? `${plot.number} ${plot.holders.map(({ name }) => name).join(', ')}` : applicant.name
      return { who, before: litres(before), after: litres(after), isNew: !plot }
    }),
    isAsked: applicant.end === null,
    isOtherMix: tried !== null,
    mix: { form: MixForm, filled: mix, action: `/people/applicants/${applicant.id}` },
    said: applicant.end && t(applicant.end.takenIn ? 'applicant.taken-in' : 'applicant.off'),
    mayEnd: applicant.end === null && desk.may('decision.write'),
    form: EndForm,
    filled,
    options: { minute: await minuteOptions(desk) },
    action: `/people/applicants/${applicant.id}/end`,
    submit: 'applicant.end.submit',
  })
}

/** Null where no weight was written: then the rule of the day counts. */
function triedMix(weights: Record<'equal' | 'area' | 'share' | 'persons', number | null>) {
  const { equal, area, share, persons } = weights
  if (![equal, area, share, persons].some((weight) => (weight ?? 0) > 0)) return null
  return { equal: equal ?? 0, area: area ?? 0, share: share ?? 0, persons: persons ?? 0 }
}

/** The trial is told for so much water, so that everybody can picture it. */
const WATER_M3 = 100

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'applicant.title',
    form: ApplicantForm,
    filled,
    options: { ownAreaIn: await landOptions(desk) },
    action: '/people/applicants/new',
    intro: ['applicant.intro'],
    back: '/people/applicants',
  })
}
