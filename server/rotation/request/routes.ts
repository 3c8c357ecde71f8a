import { addDays } from '../../../domain/calendar.ts'
import { nextWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import { askedSentence } from '../../book/asked/fields.ts'
import { askedFacts, askedThroughOf } from '../../book/asked/store.ts'
import { write } from '../../book/pen.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { askOthersMark, marksOfOthers } from '../../people/plot/co-holder-state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { saidAtOutlets } from '../at-outlet-state.ts'
import { customWishRefusal } from '../custom-refusal.ts'
import { dayOptions, typedDay } from '../day-in-week.ts'
import { maySpeakFor, onlyIfSpeaksFor, ownPlots, plotOption, plotsToSpeakFor, spokenFor } from '../plots.ts'
import { findPublishedWeek } from '../published/store.ts'
import { wishRefusal } from '../rest-refusal.ts'
import { rareOnPlot, volumeOptions } from '../typed-volume.ts'
import { weekValues } from '../week/words.ts'
import { requestDetails, setUrgentQuota, urgentQuotaOn } from './detail-store.ts'
import { RequestForm, UrgentQuotaForm } from './forms.ts'
import { requestOfInput } from './input.ts'
import { addRequest, endStandingRequest, requestsFor } from './store.ts'

/** A holder asks for an own plot, whoever keeps the log for any; the book keeps who asked. */
export function addRequestPages({ get, post }: Pages): void {
  get('/turns/asked', 'turns.see', showRequests)
  get('/turns/ask', 'water.request', newRequest)
  post('/turns/ask', 'water.request', writeRequest)
  post('/turns/asked/:id/end', 'water.request', writeEnd)
  get('/turns/settle/urgent', 'rule.set', newQuota)
  post('/turns/settle/urgent', 'rule.set', writeQuota)
}

async function showRequests(desk: Desk) {
  const [current, next, afterNext] = nearWeeks(desk)
  const weeks = [await requestsOf(desk, current), await requestsOf(desk, next)]
  // The week after next stands here once somebody has asked for it.
  const later = await requestsOf(desk, afterNext)
  if (later.isAskedFor) weeks.push(later)
  const quota = await urgentQuotaOn(desk.db, desk.today)
  return page(desk, 'rotation/requests', { title: 'rotation.request.list-title', weeks, quota })
}

async function requestsOf(desk: Desk, start: string) {
  const { db, today, group } = desk
  const plots = await listPlots(db, today)
  const asked = await requestsFor(db, start)
  const ids = asked.map((one) => one.id)
  const details = await requestDetails(db, ids)
  const through = await askedThroughOf(db, ids)
  const typed = await typedSentences(desk, ids)
  const outlets = await listOutlets(db, today)
  const requests = asked.flatMap((one) => {
    const plot = plots.find((candidate) => candidate.id === one.plotId)
    if (!plot) return []
    const own = outlets.filter(({ id }) => plot.outletIds.includes(id))
    const said = one.volumeM3 === null ? null : saidAtOutlets(desk, one.volumeM3, own)
    const { times, urgent } = details.get(one.id)!
    const shown = times.map((time) => ({ ...time, day: typedDay(time) }))
    const how = askedSentence(desk.t, through.get(one.id))
    const counted = typed.get(one.id) ?? desk.own(one.volumeM3 ?? 0, own[0]?.flowM3PerH)
    return [
      {
        ...one,
        plot,
        said,
        counted: one.volumeM3 === null ? '' : counted,
        how,
        urgent,
        times: shown,
        mayEnd: maySpeakFor(desk, plot),
      },
    ]
  })
  return { start, end: weekEndOn(start, group), isAskedFor: asked.length > 0, requests: requests.sort(byUrgency) }
}

interface Listed {
  urgent: string | null
  plot: { number: number }
}

/** Urgent ones come first on the page, never first in the water. */
function byUrgency(a: Listed, b: Listed): number {
  return Number(b.urgent !== null) - Number(a.urgent !== null) || a.plot.number - b.plot.number
}

async function newRequest(desk: Desk) {
  const [current] = nearWeeks(desk)
  const next = (await openWeeks(desk)).find((start) => start > current)
  const [own] = await ownPlots(desk, desk.today)
  return show(desk, emptyForm({ plotId: desk.query.plotId ?? own?.id ?? '', weekStartOn: next ?? '' }))
}

async function writeRequest(desk: Desk) {
  const form = readForm(RequestForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { weekStartOn } = form.data
  if (!(await openWeeks(desk)).includes(weekStartOn)) {
    const isLate = (await findPublishedWeek(desk.db, weekStartOn)) !== undefined
    return show(desk, withError(form, 'weekStartOn', isLate ? 'rotation.request.too-late' : 'error.choose'))
  }
  const read = await requestOfInput(desk.db, form.data, desk)
  if ('field' in read) return show(desk, withError(form, read.field, read.key, read.values))
  const rare = rareOnPlot(desk, form, { ...read.plot, ...read.asked })
  if (rare) return show(desk, rare)
  onlyIfSpeaksFor(desk, read.plot)
  const rests = await wishRefusal(desk, form.data, read.plot)
  if (rests) return show(desk, withError(form, 'wishedDay', ...rests))
  const free = await customWishRefusal(desk, form.data, read.plot)
  if (free) return show(desk, withError(form, free.field, free.key, free.values))
  const forPersonId = spokenFor(read.plot, desk.person.id)
  const beside = { ...read.asked.beside, ...askedFacts(form.data) }
  return write(
    desk,
    (pen) => addRequest(pen, { ...read.asked, forPersonId, beside }),
    () => '/turns/asked',
  )
}

async function writeEnd(desk: Desk<'id'>) {
  const { db, today, t } = desk
  const [current] = nearWeeks(desk)
  const asked = (await Promise.all(nearWeeks(desk).map((start) => requestsFor(db, start)))).flat()
  const own = found(asked.find((one) => one.standing && one.id === desk.params.id))
  const plot = found((await listPlots(db, today)).find((one) => one.id === own.plotId))
  onlyIfSpeaksFor(desk, plot)
  const marks = marksOfOthers(desk, plot)
  if (marks === null) return askOthersMark(desk, plot, '/turns/asked')
  const isOpen = own.weekStartOn === current && !(await findPublishedWeek(db, current))
  const untilOn = isOpen ? addDays(current, -1) : today
  return write(
    desk,
    (pen) => endStandingRequest(pen, own.id, { untilOn, reason: t('rotation.request.ended'), more: marks }),
    () => '/turns/asked',
  )
}

async function newQuota(desk: Desk) {
  const perMonth = await urgentQuotaOn(desk.db, desk.today)
  return showQuota(desk, emptyForm({ fromOn: desk.today, perMonth: String(perMonth) }))
}

async function writeQuota(desk: Desk) {
  const form = readForm(UrgentQuotaForm, desk.body)
  if (!form.ok) return showQuota(desk, form)
  if (form.data.fromOn < desk.today) return showQuota(desk, withError(form, 'fromOn', 'rotation.urgent-quota.past'))
  return write(
    desk,
    (pen) => setUrgentQuota(pen, form.data),
    () => '/turns/asked',
  )
}

/** The running week and the two after it. */
function nearWeeks({ today, group }: Desk): [string, string, string] {
  const current = weekStartOf(today, group)
  const next = nextWeekOn(current, group)
  return [current, next, nextWeekOn(next, group)]
}

/** The weeks that are not agreed yet. */
async function openWeeks(desk: Desk): Promise<string[]> {
  const open: string[] = []
  for (const start of nearWeeks(desk)) if (!(await findPublishedWeek(desk.db, start))) open.push(start)
  return open
}

async function show(desk: Desk, filled: Filled) {
  const { db, today, t, format } = desk
  const weeks = await openWeeks(desk)
  const outlets = await listOutlets(db, today)
  const flowOf = ({ flowM3PerH }: (typeof outlets)[number]) =>
    flowM3PerH
      ? t('rotation.request.outlet-flow', { flow: format.one(flowM3PerH) })
      : t('rotation.request.outlet-untested')
  return formPage(desk, {
    title: 'rotation.request.title',
    form: RequestForm,
    filled,
    options: {
      plotId: (await plotsToSpeakFor(desk, today)).map(plotOption),
      weekStartOn: weeks.map((start) => ({
        value: start,
        label: t('rotation.week-of', weekValues(desk, start)),
      })),
      wishedDay: dayOptions(desk, weeks, 'rotation.request.wishedDay'),
      cannotDay: dayOptions(desk, weeks, 'rotation.request.cannotDay'),
      askedIn: await volumeOptions(desk),
      outletId: outlets.map((one) => ({ value: one.id, label: `${one.number} ${one.name} (${flowOf(one)})` })),
    },
    action: '/turns/ask',
    intro: ['rotation.request.intro'],
    beside: { href: '/people/settle/hours', words: 'constraint.hours-title' },
    back: '/turns/asked',
  })
}

function showQuota(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'rotation.urgent-quota.title',
    form: UrgentQuotaForm,
    filled,
    action: '/turns/settle/urgent',
    intro: ['rotation.urgent-quota.intro'],
    back: '/turns/asked',
  })
}
