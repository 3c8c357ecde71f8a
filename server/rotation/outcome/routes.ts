import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { isFree } from '../../../domain/rotation/swap.ts'
import { askedFacts } from '../../book/asked/store.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import { listPersons } from '../../people/person/store.ts'
import { askOthersMark, marksOfOthers } from '../../people/plot/co-holder-state.ts'
import { plotsOfOwnHousehold } from '../../people/plot/own-household-state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { hasBegun } from '../clock.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { startsOf } from '../turn-start/store.ts'
import { addExcusePages, ownWord, refuseExcuse } from './excuse-routes.ts'
import { OutcomeForm, StandInForm } from './forms.ts'
import { settledMissed } from './season.ts'
import { standingWeek } from './standing-week.ts'
import { addOutcome, isDecided, type OutcomeCause, outcomesOf, saidOf } from './store.ts'
import { clockOfTurn, holderOf, turnOr404, turnTitle } from './turn.ts'

/** So long whoever attends waits for a taker, as the page says. Common practice, no source. */
const WAIT_MINUTES = 15

/** What is said of a turn: by the attendant with one tap, by its holder beforehand. */
export function addOutcomePages(pages: Pages): void {
  const { get, post } = pages
  post('/turns/:id/became', 'water.request', writeOutcome)
  get('/turns/:id/otherwise?as=stand-in', 'water.request', newStandIn)
  post('/turns/:id/otherwise?as=stand-in', 'water.request', writeStandIn)
  get('/turns/fair?as=missed', 'turns.see', showMissed)
  addExcusePages(pages)
}

async function writeOutcome(desk: Desk<'id'>) {
  const turn = await turnOr404(desk)
  const form = readForm(OutcomeForm, desk.body)
  if (!form.ok || form.data.cause === 'stand-in') throw new PageError(409, 'day.say-what')
  const { cause } = form.data
  const forPersonId = await holderOf(desk, turn)
  const isOwn = forPersonId === desk.person.id
  refuseOutOfTime(desk, turn, { cause, isOwn, clock: await clockOfTurn(desk, turn) })
  await refuseAfterStart(desk, turn, cause)
  // A loss in common costs nobody a thing: that it was one, nobody says alone of their own.
  const ofOwnHousehold = (await plotsOfOwnHousehold(desk, turn.on)).has(turn.plotId ?? '')
  if (cause === 'breakdown' && ofOwnHousehold) throw new PageError(409, 'day.own-breakdown')
  const word = cause === 'excused' ? ownWord(desk) : undefined
  const plot = (await listPlots(desk.db, turn.on)).find(({ id }) => id === turn.plotId)
  const marks = cause === 'excused' ? marksOfOthers(desk, plot) : {}
  if (marks === null) return askOthersMark(desk, plot, `/log/days/${turn.on}`)
  return write(
    desk,
    async (pen) => {
      const said = saidOf(await outcomesOf(pen.trx, [turn.bookId]), turn.bookId)
      if (isDecided(said)) throw new PageError(409, 'day.decided')
      if (ofOwnHousehold && said.missed?.cause === 'no-show' && cause !== 'no-show')
        throw new PageError(409, 'day.own-said')
      if (cause === 'here' && !(await hoursStillFree(pen.trx, turn))) throw new PageError(409, 'day.hours-given')
      return addOutcome(pen, { turnId: turn.bookId, cause, standInId: null, words: null, word, forPersonId }, marks)
    },
    () => `/log/days/${turn.on}?open=turn-${turn.bookId}#turn-${turn.bookId}`,
  )
}

/** Whoever attends may say anything once its time has come; a holder may call an own turn off beforehand. */
function refuseOutOfTime(
  { may }: Desk,
  turn: BookedTurn,
  { cause, isOwn, clock }: { cause: OutcomeCause; isOwn: boolean; clock: Awaited<ReturnType<typeof clockOfTurn>> },
): void {
  const attends = may('abstraction.log')
  if (!attends && (!isOwn || cause !== 'excused')) throw new PageError(403, 'error.page-403')
  if (!attends && turn.on < clock.today) throw new PageError(409, 'day.not-beforehand')
  if (cause === 'excused') refuseExcuse(isOwn, hasBegun(turn, clock))
  if (turn.on > clock.today && !['excused', 'here'].includes(cause)) throw new PageError(409, 'day.not-yet')
  const waitedMinute = Math.min(turn.startMinute + WAIT_MINUTES, turn.endMinute)
  if (['no-show', 'late'].includes(cause) && !hasBegun({ ...turn, startMinute: waitedMinute }, clock))
    throw new PageError(409, 'day.not-begun')
}

/** Who has begun to read the meter for a taker cannot say that nobody came. */
async function refuseAfterStart({ db }: Desk, { bookId }: BookedTurn, cause: OutcomeCause): Promise<void> {
  if (cause === 'no-show' && (await startsOf(db, [bookId])).has(bookId)) throw new PageError(409, 'day.start-read')
}

async function newStandIn(desk: Desk<'id'>) {
  return showStandIn(desk, await ownTurn(desk), emptyForm())
}

async function writeStandIn(desk: Desk<'id'>) {
  const turn = await ownTurn(desk)
  const form = readForm(StandInForm, desk.body)
  if (!form.ok) return showStandIn(desk, turn, form)
  const { personId: standInId, words } = form.data
  const known = (await listPersons(desk.db)).some((person) => person.id === standInId)
  if (!known) return showStandIn(desk, turn, withError(form, 'personId', 'error.choose'))
  const forPersonId = await holderOf(desk, turn)
  const plot = (await listPlots(desk.db, turn.on)).find(({ id }) => id === turn.plotId)
  const marks = marksOfOthers(desk, plot)
  if (marks === null) return askOthersMark(desk, plot, `/log/days/${turn.on}`)
  const outcome = { turnId: turn.bookId, cause: 'stand-in' as const, standInId, words, forPersonId }
  return write(
    desk,
    (pen) => addOutcome(pen, outcome, { ...askedFacts(form.data), ...marks }),
    () => `/log/days/${turn.on}`,
  )
}

async function showMissed(desk: Desk) {
  const { db, group, today, parts } = desk
  const settled = await settledMissed(db, parts.rotation, group, today)
  // What was missed today waits from today on, and what may still be made good today has not lapsed.
  const withToday = await settledMissed(db, parts.rotation, group, addDays(today, 1))
  const ofToday = withToday.running.filter(({ on }) => on === today)
  const plots = await listPlots(db, today)
  const named = (plotId: Id<'plot'>) => plots.find((plot) => plot.id === plotId)
  const counted = (volumes: Record<string, number>) =>
    Object.entries(volumes).map(([plotId, volumeM3]) => ({ plot: named(plotId), volumeM3 }))
  return page(desk, 'rotation/outcome/missed', {
    title: 'day.missed-title',
    running: [...settled.running, ...ofToday].map((turn) => ({ ...turn, plot: named(turn.plotId) })),
    forfeited: counted(withToday.forfeitedM3),
    lapsed: counted(settled.lapsedM3),
  })
}

/** Whoever attends may speak for any turn, a member for a turn of an own plot. */
async function ownTurn(desk: Desk<'id'>): Promise<BookedTurn> {
  const turn = await turnOr404(desk)
  if (!desk.may('abstraction.log') && (await holderOf(desk, turn)) !== desk.person.id) {
    throw new PageError(403, 'error.page-403')
  }
  return turn
}

async function showStandIn(desk: Desk, turn: BookedTurn, filled: Filled) {
  return formPage(desk, {
    title: 'day.stand-in.title',
    titleValues: turnTitle(desk, turn),
    form: StandInForm,
    filled,
    options: { personId: (await listPersons(desk.db)).map(numberedOption) },
    action: `/turns/${turn.bookId}/otherwise?as=stand-in`,
    intro: ['day.stand-in.intro'],
    back: `/log/days/${turn.on}`,
  })
}

/** A turn that was called off may have been booked by somebody else since. */
async function hoursStillFree(db: Database, turn: BookedTurn): Promise<boolean> {
  const { missed } = saidOf(await outcomesOf(db, [turn.bookId]), turn.bookId)
  const week = await standingWeek(db, (await turnInBook(db, turn.bookId))?.week.inputs.weekStartOn ?? '')
  if (!missed || !week) return true
  const since = week.standing.filter((one) => one.bookId !== turn.bookId && one.writtenAt > missed.at)
  return isFree(week.inputs, since, turn)
}
