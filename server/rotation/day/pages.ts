import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { weekFills } from '../../../domain/rotation/draft/tanks.ts'
import { sum } from '../../../domain/sum.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import { askedSentence } from '../../book/asked/fields.ts'
import { askedThroughOf } from '../../book/asked/store.ts'
import type { Database } from '../../database/connection.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { plotsOfOwnHousehold } from '../../people/plot/own-household-state.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Filled } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { type Fault, stoppedByFaults } from '../../works/fault/store.ts'
import { callableFrom, clockMinute, hasBegun, localClock } from '../clock.ts'
import { lateClosures, lateStandstills } from '../draft/closures.ts'
import { isDecided, type OutcomeCause, waitingExcuses } from '../outcome/store.ts'
import { unsettledByDay } from '../outcome/unsettled.ts'
import { ownPlots } from '../plots.ts'
import { namedFills } from '../published/named-turn.ts'
import { type BookedTurn, plainTurn } from '../published/turn-store.ts'
import { hearCannotCome } from '../spoken/state.ts'
import { stoppedTanks } from '../tank-turn/stopped.ts'
import { hasMeterToItself, meteredTurn, stopReadings } from '../turn-start/stop-state.ts'
import { startsOf } from '../turn-start/store.ts'
import { afterChanges } from './flow.ts'
import { DayChangeForm } from './forms.ts'
import type { DayLine, ShownDay } from './lines.ts'
import { type MoveUpOffer, moveUpOffers } from './move-up.ts'
import { shortDayRuleOn } from './rule-store.ts'
import { type DayChange, type DaySheet, pumpsStoppedOn } from './store.ts'

export interface Shown {
  filled: Filled
  problem?: string
  problemValues?: Record<string, string | number>
}

type Beside = Awaited<ReturnType<typeof besideDay>>

/** What stands beside the turns of a day: whose they are, who could move up, and what nobody has written in. */
export async function besideDay(desk: Desk, day: ShownDay) {
  const { db, group, today, at: now } = desk
  const { timeZone } = group
  const fromMinute = callableFrom({ on: day.on, today, now, timeZone })
  const minute = clockMinute(localClock(now, timeZone))
  const mayCall = day.on >= today && desk.may('abstraction.log')
  const turns = day.lines.map((line) => line.turn)
  const standingTurns = turns.filter(({ droppedBy }) => !droppedBy)
  return {
    ownPlotIds: (await ownPlots(desk, day.on)).map((plot) => plot.id),
    ofHousehold: await plotsOfOwnHousehold(desk, day.on),
    hearCannotCome: await hearCannotCome(desk),
    isBegun: (turn: BookedTurn) => hasBegun(turn, { today, now, timeZone }),
    lateExcuses: (
      await waitingExcuses(
        db,
        turns.map(({ bookId }) => bookId),
      )
    ).map(({ id, turnId }) => ({
      id,
      plot: turns.find(({ bookId }) => bookId === turnId)?.plot?.number ?? '',
    })),
    stops: await stopReadings(db, standingTurns.map(meteredTurn)),
    started: await startsOf(
      db,
      turns.map(({ bookId }) => bookId),
    ),
    mayStart: (turn: BookedTurn) =>
      day.on === today &&
      turn.endMinute > minute &&
      hasMeterToItself(meteredTurn(turn), standingTurns.map(meteredTurn)),
    offers: mayCall ? await moveUpOffers(db, { group, day, fromMinute }) : [],
    unsettled: await unsettledByDay(db, turns, { today, minute }),
    fills: await dayFills(db, { group, day }),
    stopped: await stoppedOn(db, day.on),
    stoppedTanks: day.on === today ? await stoppedTanks(desk, await pumpsStoppedOn(db, today)) : [],
    rule: await shortDayRuleOn(db, day.on),
    asked: await askedOfDay(desk, day),
  }
}

/** How what brought a turn in, excused it or named a stand-in was asked, in words by the entry. */
async function askedOfDay(desk: Desk, { lines }: ShownDay): Promise<Record<string, string>> {
  const { db, t } = desk
  const ids = lines.flatMap(({ turn, said }) => [turn.amendment, said.missed?.id, said.standIn?.id])
  const known = ids.filter((id) => id != null)
  const through = await askedThroughOf(db, known)
  const typed = await typedSentences(desk, known)
  return Object.fromEntries(
    known.map((id) => [id, [typed.get(id), askedSentence(t, through.get(id))].filter(Boolean).join(' ')]),
  )
}

/** Faults that keep a pump or an outlet from running on a day. */
async function stoppedOn(db: Database, on: string): Promise<Fault[]> {
  return (await stoppedByFaults(db)).filter((one) => standsOn(one, on)).map(({ fault }) => fault)
}

export function dayPage({ format, today }: Desk, day: ShownDay, shown: Shown & Beside) {
  const { filled, problem, problemValues, offers, isBegun, stops, started, mayStart, ofHousehold, ...beside } = shown
  const next = day.lines.find(({ state, turn }) => state === 'open' && !turn.droppedBy)
  const ownAhead = ({ state, turn }: DayLine) =>
    state === 'open' && turn.on >= today && !isBegun(turn) && beside.ownPlotIds.some((id) => id === turn.plotId)
  const isNext = (line: DayLine) => day.on === today && line === next
  const pumps = day.week?.inputs.pumps ?? []
  return {
    title: day.on === today ? 'day.title-today' : 'day.title',
    titleValues: { day: format.weekday(day.on) },
    day,
    hoursAt: day.lines.find(ownAhead)?.turn.bookId,
    lines: day.lines.map((line) => ({
      ...lineShown(day, line, { offers, isBegun, today, ofHousehold }),
      isNext: isNext(line),
      stopAt:
        line.state === 'open' && stops.has(line.turn.bookId) ? format.toLitre(stops.get(line.turn.bookId)!) : null,
      mayStart: !started.has(line.turn.bookId) && mayStart(line.turn),
    })),
    changes: day.changes.map((change) => changeShown(day, change, format)),
    drawnM3: sum(day.lines, (line) => line.drawnM3),
    unsettledCount: sum(beside.unsettled, (one) => one.count),
    problem: problem ?? null,
    problemValues: problemValues ?? { count: day.totals.byState.open.count },
    ...beside,
    unsettled: beside.unsettled.toReversed(),
    differs: day.sheet !== null && JSON.stringify(day.sheet.found) !== JSON.stringify(foundOn(day)),
    before: addDays(day.on, -1),
    after: addDays(day.on, 1),
    form: DayChangeForm,
    filled: pumps.length === 1 && !filled.values.pumpId ? withPump(filled, pumps[0]!.id) : filled,
    options: { pumpId: pumps.map(numberedOption) },
    action: `/log/days/${day.on}/less`,
    submit: 'day.share-anew',
  }
}

interface AtTheLine {
  offers: readonly MoveUpOffer[]
  isBegun: (turn: BookedTurn) => boolean
  today: string
  ofHousehold: ReadonlySet<string>
}

/** A turn's line with what may be said of it, and where it moved up or who could move up in its place. */
function lineShown({ week, offSheet }: ShownDay, line: DayLine, { offers, isBegun, today, ofHousehold }: AtTheLine) {
  const { turn, state } = line
  const movedInto = line.movedUp ? week?.amendments.find((one) => one.turnId === turn.bookId) : undefined
  return {
    ...line,
    isBegun: isBegun(turn),
    movedInto,
    movedTo: movedInto && week?.turns.find((one) => one.amendment === movedInto.id),
    offer: offers.find((one) => one.freedId === turn.bookId),
    besideIt: state === 'missed' || state === 'excused' ? besideTurn(line, offSheet) : [],
    causes: causesFor(line, isBegun(turn), turn.on <= today).filter(
      (cause) => cause !== 'breakdown' || !ofHousehold.has(turn.plotId ?? ''),
    ),
  }
}

/** Draws of the plot beside the list, in its hours where the log names any: somebody may have come after all. */
function besideTurn({ turn }: DayLine, offSheet: ShownDay['offSheet']) {
  const isNear = (clock: string | null) =>
    clock === null || (clockMinute(clock) >= turn.startMinute && clockMinute(clock) <= turn.endMinute + 60)
  return offSheet.filter(({ plotId, endTime }) => plotId === turn.plotId && isNear(endTime))
}

/** What whoever attends may say of a turn with one tap. */
function causesFor({ state, said }: DayLine, isBegun: boolean, isPassed: boolean): OutcomeCause[] {
  if (state !== 'open')
    return (state === 'excused' || state === 'missed') && said.missed && !isDecided(said) ? ['here'] : []
  if (isBegun) return ['no-show', 'late', 'breakdown']
  return isPassed ? ['breakdown'] : []
}

/** A day shared anew, turn by turn: how it was, how it is, and what was drawn before. */
function changeShown({ week }: ShownDay, change: DayChange, format: Format) {
  const turns = week?.turns ?? []
  const moved = change.turns.flatMap((row) => {
    const was = turns.find((turn) => turn.bookId === row.turnId)
    return was ? [{ row, was, now: turns.find((turn) => turn.amendment === row.amendmentId) }] : []
  })
  return {
    change,
    pump: week?.inputs.pumps.find((one) => one.id === change.pumpId)?.number ?? '',
    from: format.clock(change.fromMinute),
    given: change.given && givenShown(change.given, format),
    until: change.untilMinute === null ? '' : format.clock(change.untilMinute),
    moved: moved.map((one) => movedShown(one, format)),
    who: [...new Set(moved.flatMap(({ was }) => was.plot?.holders ?? []))].join(', '),
  }
}

function givenShown({ givenM3, expectedM3 }: NonNullable<DayChange['given']>, format: Format) {
  return { given: format.one(givenM3), expected: format.one(expectedM3), part: format.percent(givenM3 / expectedM3) }
}

interface Moved {
  row: DayChange['turns'][number]
  was: BookedTurn
  now: BookedTurn | undefined
}

function movedShown({ row, was, now }: Moved, format: Format) {
  const key = row.drawnBy === 'log' ? 'day.change-line-logged' : 'day.change-line'
  const isShort = row.wasM3 - row.nowM3 >= 0.05
  return {
    key: now ? key : `${key}-none`,
    values: {
      plot: was.plot?.number ?? '',
      was: format.tenth(row.wasM3),
      wasFrom: format.clock(was.startMinute),
      now: format.tenth(row.nowM3),
      from: now ? format.clock(now.startMinute) : '',
      to: now ? format.clock(now.endMinute) : '',
      drawn: format.tenth(row.drawnM3 ?? 0),
      rest: format.tenth(now?.volumeM3 ?? 0),
    },
    isByPlan: row.drawnBy === 'plan',
    // Rounded as they are shown, so that whoever takes one from the other comes to the third.
    short: isShort ? format.tenth(Math.round(row.wasM3 * 10) / 10 - Math.round(row.nowM3 * 10) / 10) : null,
  }
}

function withPump(filled: Filled, pumpId: Id<'pump'>): Filled {
  return { ...filled, values: { ...filled.values, pumpId } }
}

/** What a sheet is closed with: its sums, and what was given beside it. */
export function foundOn({ totals, offSheet }: ShownDay): DaySheet['found'] {
  return { totals: { ...totals.byState, listed: totals.listed }, offSheet: offSheet.map((draw) => draw.id) }
}

/** How the tanks are to be filled on a day as it stands: for the turns on the list, under what the day now brings. */
async function dayFills(db: Database, { group, day }: { group: Group; day: ShownDay }) {
  if (!day.week?.inputs.tanks) return []
  const planned = day.week.inputs
  const late = lateClosures(await lateStandstills(db, planned))
  const now = { ...planned, closures: [...planned.closures, ...late] }
  const inputs = await afterChanges(db, { group, inputs: now, changes: day.changes })
  const standing = day.week.turns.filter((turn) => !turn.droppedBy)
  const { fills = [] } = weekFills(
    inputs,
    standing.map((turn) => ({ ...plainTurn(turn), id: turn.bookId })),
  )
  return namedFills(inputs, fills, day.on)
}
