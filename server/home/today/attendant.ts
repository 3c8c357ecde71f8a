import { addDays } from '../../../domain/calendar.ts'
import { weekEndOn } from '../../../domain/weeks.ts'
import { listClosings } from '../../abstractions/closing/store.ts'
import { lessByTest } from '../../rotation/at-outlet-state.ts'
import type { BookedTurn } from '../../rotation/published/turn-store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { flowsByOutlet, isToTest, outletsUnderPump } from '../../works/flow-test/store.ts'
import { listOutlets, listPumps, type Outlet } from '../../works/pump/store.ts'
import { pumpReadings } from '../../works/tank/store.ts'
import type { Due, Line } from './line.ts'
import type { Now } from './now.ts'
import { outletOf, spanOf } from './turn-words.ts'
import { weatherLine } from './weather.ts'
import { oldLevels, wallsDue } from './weirs.ts'

/** So many turns that are over have a line of their own; the others stand on the day. */
const WRITE_ALONE = 2

/** So long after the hour the reading is no longer that of the start: it came too late for one, or stands on paper. Own choice. */
const START_MINUTES = 30

/** At the pump: water that runs comes first, then what is over and not written, the meters, and the close of the day. */
export async function dueAtPump(desk: Desk, now: Now): Promise<Due> {
  const ofToday = now.turns.filter(({ on }) => on === desk.today)
  const outlets = await outletsUnderPump(desk.db, desk.today)
  const lines = [
    ...runningNow(desk, now, ofToday, outlets),
    ...toWrite(desk, now, ofToday),
    ...(await rounds(desk, now, ofToday)),
    ...nextTurn(desk, now, ofToday, outlets),
    ...(await evening(desk, now, ofToday)),
    ...(await oldLevels(desk)),
    ...earlierDays(desk, now),
    ...(await weatherLine(desk)),
    ...(await wallsDue(desk)),
  ]
  return { lines, otherwise: nothingNow(desk, now) }
}

function runningNow(
  desk: Desk,
  { minute, unwritten, stops, metered, outrunning }: Now,
  turns: Now['turns'],
  outlets: readonly Outlet[],
): Line[] {
  const running = turns
    .filter((turn) => turn.startMinute <= minute && minute < turn.endMinute && unwritten.has(turn.bookId))
    .sort((a, b) => a.endMinute - b.endMinute)
  const begins = (turn: Now['turns'][number]) =>
    !stops.has(turn.bookId) && minute < turn.startMinute + START_MINUTES && metered.has(turn.bookId)
  const beginning = running.filter(begins)
  // A start that is not read at once cannot be read later.
  return [...beginning, ...running.filter((turn) => !begins(turn))].map((turn) => {
    if (begins(turn)) return beginsNow(desk, turn, { outlets, others: beginning.filter((one) => one !== turn) })
    const stopM3 = stops.get(turn.bookId)
    const words = stopM3 === undefined ? 'today.running' : 'today.stop-at'
    const reading = stopM3 === undefined ? '' : desk.format.toLitre(stopM3)
    return {
      picture: 'log',
      words: desk.t(words, { ...spanOf(desk, turn), reading }),
      small:
        withLess(desk, turn, { words: `${words}-words`, outlets }) +
        rests(desk, turn.outlet?.tank ? undefined : outrunning.get(turn.pumpId)),
      href: `/log/turns/${turn.bookId}`,
    }
  })
}

/** The span of a turn, and that it cannot bring all of its water where the last test of its outlet says so. */
function withLess(
  desk: Desk,
  turn: Now['turns'][number],
  { words, outlets }: { words: string; outlets: readonly Outlet[] },
): string {
  const less = lessByTest(desk, turn, outlets)
  return desk.t(words, spanOf(desk, turn)) + (less ? ` ▲ ${less}` : '')
}

/** A pump that lifts more than its chamber is given rests in its turns. */
function rests({ t }: Desk, pump: number | undefined): string {
  return pump === undefined ? '' : ` ▲ ${t('today.outruns', { pump })}`
}

/** Which other outlets begin with it. */
function withOthers({ t }: Desk, small: string, others: readonly BookedTurn[]): string {
  const outlets = others.map((other) => outletOf(other).outlet).join(', ')
  return outlets ? t('today.begins-too', { small, outlets }) : small
}

/** Until its start is read nobody knows at which reading it ends. */
function beginsNow(
  desk: Desk,
  turn: Now['turns'][number],
  { outlets, others }: { outlets: readonly Outlet[]; others: BookedTurn[] },
): Line {
  return {
    picture: 'log',
    words: desk.t('today.begins', outletOf(turn)),
    small: withOthers(desk, withLess(desk, turn, { words: 'today.begins-words', outlets }), others),
    figure: desk.format.clock(turn.startMinute),
    href: `/log/turns/${turn.bookId}?as=start`,
  }
}

function toWrite(desk: Desk, { minute, unwritten }: Now, turns: Now['turns']): Line[] {
  const over = turns.filter(({ bookId, endMinute }) => endMinute <= minute && unwritten.has(bookId))
  const lines = over.slice(0, WRITE_ALONE).map((turn) => ({
    picture: 'name',
    words: desk.t('today.write', outletOf(turn)),
    small: desk.t('today.span', spanOf(desk, turn)),
    figure: desk.format.clock(turn.endMinute),
    href: `/log/turns/${turn.bookId}`,
  }))
  const others = over.length - lines.length
  if (others === 0) return lines
  const outlets = over.slice(WRITE_ALONE).map((turn) => outletOf(turn).outlet)
  const small = desk.t('today.write-others-words', { outlets: outlets.join(', ') })
  const words = desk.t('today.write-others', { count: others })
  return [...lines, { picture: 'name', words, small, figure: String(others), href: '/log' }]
}

/** Before the first turn and after the last one the meters are read, all with one sending. */
async function rounds(desk: Desk, { minute }: Now, turns: Now['turns']): Promise<Line[]> {
  const [first] = turns
  if (!first) return []
  if (minute < first.startMinute) return round(desk, 'dawn', 'today.morning')
  return turns.every(({ endMinute }) => endMinute <= minute) ? round(desk, 'dusk', 'today.evening') : []
}

async function round({ db, today, t }: Desk, moment: 'dawn' | 'dusk', words: string): Promise<Line[]> {
  const [pumps, read] = [await listPumps(db, today), await pumpReadings(db, { fromOn: today, toOn: today })]
  const missing = pumps.filter(({ id }) => !read.some((one) => one.pumpId === id && one.moment === moment))
  if (missing.length === 0) return []
  return [
    {
      picture: 'pump',
      words: t(words),
      small: t(`${words}-words`),
      figure: String(missing.length),
      href: `/log/round?moment=${moment}`,
    },
  ]
}

function nextTurn(desk: Desk, { minute }: Now, turns: Now['turns'], outlets: readonly Outlet[]): Line[] {
  const ahead = turns.filter(({ startMinute }) => startMinute > minute)
  const [next, ...later] = ahead
  if (!next) return []
  const together = later.filter(({ startMinute }) => startMinute === next.startMinute)
  const line = {
    picture: 'turns',
    words: desk.t('today.next', outletOf(next)),
    small: withOthers(desk, withLess(desk, next, { words: 'today.span', outlets }), together),
    figure: desk.format.clock(next.startMinute),
    href: `/turns/${next.bookId}`,
  }
  return [line]
}

async function evening({ db, today, t }: Desk, { minute }: Now, turns: Now['turns']): Promise<Line[]> {
  if (turns.some(({ endMinute }) => endMinute > minute)) return []
  const closed = (await listClosings(db)).filter(({ toOn }) => toOn >= today).map(({ pumpId }) => pumpId)
  const open = new Set(turns.map(({ pumpId }) => pumpId).filter((id) => !closed.includes(id)))
  if (open.size === 0) return []
  const figure = String(open.size)
  return [
    { picture: 'book', words: t('today.close'), small: t('today.close-words'), figure, href: '/log/close?as=new' },
  ]
}

function earlierDays({ today, format, t }: Desk, { turns, unwritten }: Now): Line[] {
  const before = turns.filter(({ on, bookId }) => on < today && unwritten.has(bookId))
  const days = [...new Set(before.map(({ on }) => on))].sort().reverse()
  return days.map((day) => ({
    picture: 'name',
    words: t('today.earlier', { day: format.weekday(day) }),
    small: t('today.earlier-words'),
    figure: String(before.filter(({ on }) => on === day).length),
    href: `/log/days/${day}`,
  }))
}

function nothingNow({ today, format, t, group }: Desk, { turns, weeks }: Now): Line {
  const next = turns.find(({ on }) => on > today)
  return {
    picture: 'turns',
    words: t('today.nothing'),
    small: next
      ? t('today.nothing-next', { day: format.weekday(next.on), clock: format.clock(next.startMinute) })
      : t('today.nothing-agreed', {
          until: format.date(weekEndOn(weeks.isPublished.next ? weeks.next : addDays(weeks.next, -1), group)),
        }),
    href: '/turns',
  }
}

/** For a week after its test an outlet that gives much less than before is looked after: a filter, a leak, a valve. */
const FELL_FOR_DAYS = 7

type FlowsByOutlet = Awaited<ReturnType<typeof flowsByOutlet>>

function outletsThatFell({ today, t }: Desk, outlets: readonly Outlet[], flows: FlowsByOutlet): Line[] {
  const since = addDays(today, -FELL_FOR_DAYS)
  const fell = outlets.filter(({ id }) => {
    const [last] = flows.get(id) ?? []
    return last?.fellByAFifth && last.testedOn > since
  })
  const [first] = fell
  if (!first) return []
  const values = { count: fell.length, outlets: fell.map(({ number }) => number).join(', ') }
  return [
    {
      picture: 'again',
      words: t('today.fell', values),
      small: t('today.fell-words', values),
      href: `/works/outlets/${first.id}`,
    },
  ]
}

/** Outlets that give much less than before, and those whose flow is to be measured again with bucket and watch. */
export async function flowTestsDue(desk: Desk): Promise<Line[]> {
  const { db, today, t } = desk
  const outlets = await listOutlets(db, today)
  const fell = outletsThatFell(desk, outlets, await flowsByOutlet(db))
  const old = outlets.filter((outlet) => isToTest(outlet, today))
  if (old.length === 0) return fell
  const small = t('today.flow-tests-words', { outlets: old.map(({ number }) => number).join(', ') })
  return [
    ...fell,
    { picture: 'again', words: t('today.flow-tests'), small, figure: String(old.length), href: '/log/tests' },
  ]
}
