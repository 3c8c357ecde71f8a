import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { saidCans } from '../../../domain/people/voice/rounding.ts'
import { cansOf, clock, day, figure, type Sentence, sentence } from '../../../domain/people/voice/sentence.ts'
import { nextWeekOn, weekStartOf } from '../../../domain/weeks.ts'
import { listPlots } from '../../people/plot/store.ts'
import { canBeHeard, plotCaller } from '../../people/voice/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { clockMinute, localClock } from '../clock.ts'
import { type StandingWeek, standingWeek } from '../outcome/standing-week.ts'
import { type BookedTurn, replacementOf } from '../published/turn-store.ts'

type Listener = Pick<Desk, 'db' | 'today' | 'group' | 'at' | 'timeZone' | 'locale'> & {
  format: Pick<Desk['format'], 'canLitres'>
}

/** What a turn is, said to whoever holds it: whose, when, how much, where, and when to stop. */
export async function turnSaid(desk: Listener, turns: readonly BookedTurn[], turn: BookedTurn): Promise<Sentence[]> {
  const call = await plotCaller(desk)
  const { canLitres } = desk.format
  const { by, pieces } = call({ id: turn.plotId, number: turn.plot?.number ?? 0 })
  const whose = turn.plot ? [sentence(`turn-${by}`, pieces)] : []
  if (!turn.droppedBy) return [...whose, ...standingSaid(turn, canLitres)]
  const now = replacementOf(turns, turn)
  const off = sentence('turn-off', { day: day(turn.on), start: clock(turn.startMinute) })
  return [...whose, off, ...(now ? standingSaid(now, canLitres) : [])]
}

function standingSaid(turn: BookedTurn, canLitres: number): Sentence[] {
  const cans = saidCans(turn.volumeM3, canLitres)
  return [
    sentence('turn-when', { day: day(turn.on), start: clock(turn.startMinute), end: clock(turn.endMinute) }),
    sentence('turn-volume', { count: figure(cans), jerrycans: cansOf(cans) }),
    ...(turn.outlet ? [sentence('turn-outlet', { number: figure(turn.outlet.number) })] : []),
    sentence('turn-stop'),
  ]
}

/** What the button says that calls a turn off. */
export const CANNOT_COME: readonly Sentence[] = [sentence('cannot-come')]

/** What stands beside a button that calls a turn off, so that it can be heard what it does; null where nobody recorded it. */
export async function hearCannotCome(desk: Desk) {
  return (await canBeHeard(desk, CANNOT_COME))
    ? { src: '/turns/cannot-come.wav', label: 'voice.listen-cannot-come' }
    : null
}

/** The sound of a turn that stands on the list; null where something of it was not recorded. */
export async function hearTurn(desk: Desk, turn: BookedTurn) {
  const sayings = await turnSaid(desk, [turn], turn)
  return (await canBeHeard(desk, sayings)) ? { src: `/turns/${turn.bookId}.wav`, label: 'voice.listen-turn' } : null
}

/** The list of a week as it is called out at the water, without what was called off: day by day, whose turn, from when, how much. */
export async function weekSaid(desk: Desk, { standing }: StandingWeek): Promise<Sentence[]> {
  const call = await plotCaller(desk)
  const days = [...new Set(standing.map(({ on }) => on))]
  const ofDay = (on: CalendarDate) =>
    standing
      .filter((turn) => turn.on === on)
      .map((turn) => {
        const cans = saidCans(turn.volumeM3, desk.format.canLitres)
        const { by, pieces } = call({ id: turn.plotId, number: turn.plot?.number ?? 0 })
        const start = clock(turn.startMinute)
        return sentence(`week-${by}`, { ...pieces, start, count: figure(cans), jerrycans: cansOf(cans) })
      })
  return [sentence('week'), ...days.flatMap((on) => [sentence('week-day', { day: day(on) }), ...ofDay(on)])]
}

/** The next turn of a person that stands in the published weeks that run or come, said; nothing where there is none. */
export async function nextTurnSaid(desk: Listener, personId: Id<'person'>): Promise<Sentence[]> {
  const { db, today, group, at, timeZone } = desk
  const minute = clockMinute(localClock(at, timeZone))
  const plots = (await listPlots(db, today)).filter(({ holders }) => holders.some(({ id }) => id === personId))
  const own = new Set<string>(plots.map(({ id }) => id))
  const current = weekStartOf(today, group)
  for (const start of [current, nextWeekOn(current, group)]) {
    const week = await standingWeek(db, start)
    const isAhead = ({ on, endMinute }: BookedTurn) => on > today || (on === today && endMinute > minute)
    const next = week?.standing.find((turn) => own.has(turn.plotId) && isAhead(turn))
    if (week && next) return turnSaid(desk, week.turns, next)
  }
  return []
}
