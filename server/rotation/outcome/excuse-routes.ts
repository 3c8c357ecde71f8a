import { addDays } from '../../../domain/calendar.ts'
import { type AskedHow, askedFacts } from '../../book/asked/store.ts'
import { write } from '../../book/pen.ts'
import { plotsOfOwnHousehold } from '../../people/plot/own-household-state.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { clockMinute, hasBegun, localClock } from '../clock.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { ExcuseForm } from './forms.ts'
import { addOutcome, type ExcuseWord, findLateExcuse, isDecided, outcomesOf, saidOf, waitingExcuses } from './store.ts'
import { clockOfTurn, holderOf, turnOr404, turnTitle } from './turn.ts'

/** Word that came longer before a turn is a year or a month mistyped; common practice, no source. */
const EARLIEST_WORD_DAYS = 31

/** A turn is excused by whoever attends, with when and through whom word came; after its hour the committee decides. */
export function addExcusePages({ get, post }: Pages): void {
  get('/turns/:id/otherwise', 'abstraction.log', newExcuse)
  post('/turns/:id/otherwise', 'abstraction.log', writeExcuse)
  get('/turns/names/late-excuse/:id', 'water.request', showLateExcuse)
}

async function newExcuse(desk: Desk<'id'>) {
  return show(desk, await turnOr404(desk), emptyForm({ onDate: desk.today }))
}

async function writeExcuse(desk: Desk<'id'>) {
  const turn = await turnOr404(desk)
  const form = readForm(ExcuseForm, desk.body)
  if (!form.ok) return show(desk, turn, form)
  const { askedHow, ...word }: ExcuseWord & { askedHow: AskedHow | null } = form.data
  const forPersonId = await holderOf(desk, turn)
  const isAfterHour = word.onDate > turn.on || (word.onDate === turn.on && clockMinute(word.clock) >= turn.startMinute)
  const [waiting] = await waitingExcuses(desk.db, [turn.bookId])
  if (waiting) throw new PageError(409, 'day.excuse-waits')
  if (isDecided(saidOf(await outcomesOf(desk.db, [turn.bookId]), turn.bookId))) throw new PageError(409, 'day.decided')
  const isOwn = forPersonId === desk.person.id || (await plotsOfOwnHousehold(desk, turn.on)).has(turn.plotId ?? '')
  const clock = await clockOfTurn(desk, turn)
  const problem = problemOf(desk, turn, word, { isAfterHour, isOwn, clock })
  if (problem) return show(desk, turn, withError(form, ...problem))
  if (!isAfterHour) word.decidedFor = null
  return write(
    desk,
    (pen) =>
      addOutcome(
        pen,
        { turnId: turn.bookId, cause: 'excused', standInId: null, words: null, word, forPersonId },
        askedFacts({ askedHow }),
      ),
    (id) => (isAfterHour ? `/turns/names/late-excuse/${id}` : `/log/days/${turn.on}`),
  )
}

/** What the committee decides with two names: the turn is not excused before. */
async function showLateExcuse(desk: Desk<'id'>) {
  const { db, params, format } = desk
  const said = found(await findLateExcuse(db, params.id))
  const { turn } = found(await turnInBook(db, said.turnId))
  const { through, onDate, clock, decidedFor } = said.word!
  return page(desk, 'rotation/outcome/late-excuse', {
    title: 'day.late-excuse-title',
    titleValues: turnTitle(desk, turn),
    on: turn.on,
    said: { by: said.byName, when: format.instant(said.at) },
    word: { through, day: format.weekday(onDate), clock, why: decidedFor ?? '' },
    names: await namesShown(desk, said.id),
  })
}

function problemOf(
  { may }: Desk,
  turn: BookedTurn,
  word: ExcuseWord,
  {
    isAfterHour,
    isOwn,
    clock,
  }: { isAfterHour: boolean; isOwn: boolean; clock: Awaited<ReturnType<typeof clockOfTurn>> },
): [field: string, key: string] | null {
  const { onDate, decidedFor } = word
  const { today, now, timeZone } = clock
  if (onDate > today) return ['onDate', 'day.excuse-to-come']
  if (onDate === today && clockMinute(word.clock) > clockMinute(localClock(now, timeZone)))
    return ['clock', 'day.excuse-to-come']
  if (onDate < addDays(turn.on, -EARLIEST_WORD_DAYS)) return ['onDate', 'day.excuse-long-before']
  // That word came in time, nobody says afterwards of their own.
  if (isOwn && hasBegun(turn, clock)) return ['clock', 'day.excuse-own']
  if (!isAfterHour) return null
  if (!may('week.publish')) return ['clock', 'day.excuse-after-hour']
  return decidedFor === null ? ['decidedFor', 'day.excuse-why'] : null
}

async function show(desk: Desk, turn: BookedTurn, filled: Filled) {
  return formPage(desk, {
    title: 'day.excuse.title',
    titleValues: turnTitle(desk, turn),
    form: ExcuseForm,
    filled,
    action: `/turns/${turn.bookId}/otherwise`,
    intro: ['day.excuse.intro'],
    back: `/log/days/${turn.on}`,
  })
}

/** Whoever calls off an own turn is the word, and gives it now. */
export function ownWord({ at, today, timeZone, person }: Desk): ExcuseWord {
  return { onDate: today, clock: localClock(at, timeZone), through: person.name, decidedFor: null }
}

/** A turn whose hour has come is excused by the committee alone; for somebody else word is written down. */
export function refuseExcuse(isOwn: boolean, isBegun: boolean): void {
  if (!isOwn) throw new PageError(409, 'day.excuse-asks')
  if (isBegun) throw new PageError(409, 'day.excuse-after-hour')
}
