import { ownBalanceMinor } from '../../fees/statement/balance-state.ts'
import { lessByTest } from '../../rotation/at-outlet-state.ts'
import { restToday } from '../../water/stream/rest-state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { outletsUnderPump } from '../../works/flow-test/store.ts'
import type { Due, Line } from './line.ts'
import { type Now, ownAhead } from './now.ts'
import { thirsty } from './thirsty.ts'
import { outletOf, spanOf } from './turn-words.ts'
import { weatherLine } from './weather.ts'

/** For whoever holds a plot: two own turns at one hour, a crop that is or will be short, asking while it is open, and what is to pay. */
export async function dueForHolder(desk: Desk, now: Now): Promise<Due> {
  const lines = [
    ...twoAtOnce(desk, now),
    ...(await thirsty(desk, now)),
    ...(await weatherLine(desk)),
    ...asking(desk, now),
    ...(await toPay(desk)),
  ]
  return { lines, otherwise: noTurn(desk, now) }
}

function twoAtOnce(desk: Desk, { ownTurns }: Now): Line[] {
  return ownTurns.flatMap((turn, at) => {
    const other = ownTurns
      .slice(at + 1)
      .find((one) => one.on === turn.on && one.startMinute < turn.endMinute && turn.startMinute < one.endMinute)
    if (!other) return []
    return [
      {
        picture: 'again',
        words: desk.t('today.two-at-once', { day: desk.format.weekday(turn.on) }),
        small: desk.t('today.two-at-once-words', { one: outletOf(turn).plot, other: outletOf(other).plot }),
        figure: desk.format.clock(Math.max(turn.startMinute, other.startMinute)),
        href: `/turns/${other.bookId}`,
      },
    ]
  })
}

function asking({ t, format, may }: Desk, { weeks, ownPlots }: Now): Line[] {
  if (weeks.isPublished.next || ownPlots.length === 0 || !may('water.request')) return []
  const small = t('today.week-of', { start: format.date(weeks.next) })
  return [{ picture: 'ask', words: t('today.ask'), small, href: '/turns/ask' }]
}

async function toPay(desk: Desk): Promise<Line[]> {
  const owedMinor = desk.may('money.see-own') ? await ownBalanceMinor(desk) : null
  if (owedMinor === null || owedMinor <= 0) return []
  const figure = moneyWords(desk).money(owedMinor)
  return [{ picture: 'money', words: desk.t('today.to-pay'), figure, href: `/money/members/${desk.person.id}` }]
}

function noTurn({ t, format }: Desk, { ownTurns }: Now): Line {
  const [next] = ownTurns
  const small = next ? format.weekday(next.on) : t('today.no-turn-words')
  return { picture: 'turns', words: t(next ? 'today.your-next' : 'today.no-turn'), small, href: '/turns' }
}

/** The turns of the visitor that are still to come or run, each with what belongs on its card. */
export async function cardsOf(desk: Desk, now: Now) {
  const { unwritten, stops } = now
  const ahead = ownAhead(desk, now)
  const isFirstPart = ({ plotId, weekStartOn }: (typeof ahead)[number], at: number) =>
    ahead.findIndex((one) => one.plotId === plotId && one.weekStartOn === weekStartOn) === at
  const outlets = ahead.length > 0 ? await outletsUnderPump(desk.db, desk.today) : []
  return ahead.map((turn, at) => ({
    ...spanOf(desk, turn),
    id: turn.bookId,
    plotId: turn.plotId,
    // The parts of one turn have one reason, which is told once.
    explains: isFirstPart(turn, at),
    weekStartOn: turn.weekStartOn,
    on: turn.on,
    isRunning: unwritten.has(turn.bookId),
    stopAt: stops.has(turn.bookId) ? desk.format.toLitre(stops.get(turn.bookId)!) : null,
    own: desk.own(turn.volumeM3, turn.outlet?.flowM3PerH),
    less: lessByTest(desk, turn, outlets),
    hours: desk.format.duration((turn.endMinute - turn.startMinute) / 60),
  }))
}

/** For the neighbour below: whether the stream rests today, and what is given out this week. */
export async function dueForNeighbour(desk: Desk, { turns, weeks }: Now): Promise<Due> {
  const { t, format } = desk
  const ofWeek = turns.filter(({ weekStartOn }) => weekStartOn === weeks.current)
  const given = ofWeek.reduce((sum, { volumeM3 }) => sum + volumeM3, 0)
  return {
    lines: await restLine(desk),
    otherwise: {
      picture: 'water',
      words: t('today.given-out', { volume: format.whole(given) }),
      small: t('today.given-out-words', { start: format.date(weeks.current) }),
      href: '/turns',
    },
  }
}

async function restLine(desk: Desk): Promise<Line[]> {
  const rest = await restToday(desk)
  if (!rest) return []
  const words = desk.t(`today.rest-${rest.today}`)
  return [{ picture: 'water', words, href: '/water/stream' }]
}
