import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { minuteOptions } from '../decision/state.ts'
import { listPersons, rolesOf } from '../person/store.ts'
import { handoverForm, TermForm } from './forms.ts'
import { metersInWords, openInWords } from './state.ts'
import { type Handover, lastTerms, listHandovers, setTerm, writeHandover } from './store.ts'

/** What goes from hand to hand with an office, under both marks; and when each office ends. */
export function addHandoverPages({ get, post }: Pages): void {
  get('/people/handovers', 'handover.see', showAll)
  get('/people/handovers/new', 'handover.see', newHandover)
  post('/people/handovers/new', 'handover.see', postHandover)
  get('/people/names/handover/:id', 'people.see', showHandover)
  get('/people/settle/office-term', 'decision.write', newTerm)
  post('/people/settle/office-term', 'decision.write', postTerm)
}

async function showAll(desk: Desk) {
  const { t, format, today } = desk
  return page(desk, 'people/handover/list', {
    title: 'handover.list-title',
    lines: (await listHandovers(desk.db)).map((one) => ({
      at: format.shortDay(one.handedOn),
      words: one.what,
      small: t('handover.from-to', { giver: one.giverName, taker: one.takerName }),
      ...(one.stands ? {} : { strong: t('handover.waits') }),
      href: `/people/names/handover/${one.id}`,
    })),
    terms: (await lastTerms(desk.db)).map(({ name, office, untilOn }) =>
      t(untilOn < today ? 'handover.term-over' : 'handover.term-line', {
        name,
        office: t(`handover.term.office.${office}`),
        date: format.date(untilOn),
      }),
    ),
  })
}

/** What is open is written into the form, so that nobody has to gather it from memory. */
async function newHandover(desk: Desk) {
  const { today, person } = desk
  return show(
    desk,
    emptyForm({
      handedOn: today,
      giverId: person.id,
      meters: (await metersInWords(desk)).join('; '),
      openMatters: (await openInWords(desk)).join('\n'),
    }),
  )
}

async function postHandover(desk: Desk) {
  const form = readForm(handoverForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return show(desk, form)
  const { cash: cashMinor, ...handover } = form.data
  const { giverId, takerId, handedOn } = handover
  const persons = new Set<string>((await listPersons(desk.db)).map(({ id }) => id))
  for (const [field, id] of [
    ['giverId', giverId],
    ['takerId', takerId],
  ] as const) {
    if (!persons.has(id)) return show(desk, withError(form, field, 'error.choose'))
  }
  if (giverId === takerId) return show(desk, withError(form, 'takerId', 'handover.same'))
  if (![giverId, takerId].includes(desk.person.id)) return show(desk, withError(form, 'giverId', 'handover.not-yours'))
  if (handedOn > desk.today) return show(desk, withError(form, 'handedOn', 'handover.future'))
  const cashBookMinor = cashMinor === null ? null : await desk.parts.people.cashInBook(desk.db)
  return write(
    desk,
    (pen) => writeHandover(pen, { ...handover, cashMinor, cashBookMinor }),
    (id) => `/people/names/handover/${id}`,
  )
}

async function showHandover(desk: Desk<'id'>) {
  const handover = found((await listHandovers(desk.db)).find(({ id }) => id === desk.params.id))
  const isParty = [handover.giverId, handover.takerId].includes(desk.person.id)
  if (!isParty && !desk.may('handover.see')) throw new PageError(403, 'error.page-403')
  return page(desk, 'people/handover/page', {
    title: 'handover.heading',
    titleValues: { what: handover.what },
    handover,
    cash: cashInWords(desk, handover),
    signed: desk.t(handover.otherGiven ? `handover.other-${handover.otherGiven}` : 'handover.both-signed', {
      name: handover.writerId === handover.giverId ? handover.takerName : handover.giverName,
    }),
    names: handover.otherGiven === null ? await namesShown(desk, handover.id) : null,
  })
}

/** The coins against the book: they agree, or so much is short or over. */
function cashInWords(desk: Desk, { cashMinor, cashBookMinor }: Handover): string | null {
  if (cashMinor === null || cashBookMinor === null) return null
  const { money } = moneyWords(desk)
  const difference = cashMinor - cashBookMinor
  const state = difference === 0 ? 'agrees' : difference < 0 ? 'short' : 'over'
  const values = { counted: money(cashMinor), book: money(cashBookMinor), difference: money(Math.abs(difference)) }
  return desk.t(`handover.cash-${state}`, values)
}

async function show(desk: Desk, filled: Filled) {
  const persons = (await listPersons(desk.db)).map(numberedOption)
  return formPage(desk, {
    title: 'handover.title',
    form: handoverForm(moneyWords(desk).currency),
    filled,
    options: { giverId: persons, takerId: persons },
    action: '/people/handovers/new',
    intro: ['handover.intro'],
    back: '/people/handovers',
  })
}

async function newTerm(desk: Desk) {
  return showTerm(desk, emptyForm())
}

async function postTerm(desk: Desk) {
  const form = readForm(TermForm, desk.body)
  if (!form.ok) return showTerm(desk, form)
  const { minute, ...term } = form.data
  if (!(await rolesOf(desk.db, term.personId, desk.today)).includes(term.office)) {
    return showTerm(desk, withError(form, 'office', 'handover.term.not-held'))
  }
  return write(
    desk,
    (pen) => setTerm(pen, term, minute),
    () => '/people/handovers',
  )
}

async function showTerm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'handover.term.title',
    form: TermForm,
    filled,
    options: { personId: (await listPersons(desk.db)).map(numberedOption), minute: await minuteOptions(desk) },
    action: '/people/settle/office-term',
    intro: ['handover.term.intro'],
    back: '/people/handovers',
  })
}
