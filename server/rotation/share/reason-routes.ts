import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { PlannedShare } from '../../../domain/rotation/week/planned-week.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { outletsUnderPump } from '../../works/flow-test/store.ts'
import { lessByTest, saidAtOutlets } from '../at-outlet-state.ts'
import { namedTurn } from '../published/named-turn.ts'
import { bookedTurns, replacementOf, turnInBook } from '../published/turn-store.ts'
import { fullReason } from '../slip/reason.ts'
import { amendmentLines, changeLines } from '../week/change-lines.ts'
import { methodOfWeek, orderOfShare } from '../week/order-words.ts'
import { heldWords, type ShownWeek, weekOr404 } from '../week/view.ts'
import { weekValues } from '../week/words.ts'

/** Why a plot gets what it gets, line by line: need, entitlement, received, level, volume, time. */
export function addReasonPages({ get }: Pages): void {
  get('/turns/:id', 'turns.see', showTurn)
  get('/turns/working/why/:start/:plotId', 'turns.see', showPlot)
}

async function showTurn(desk: Desk<'id'>) {
  const { week, turn } = found(await turnInBook(desk.db, desk.params.id))
  return showReason(desk, { weekStartOn: week.inputs.weekStartOn, plotId: turn.plotId, turnId: turn.bookId })
}

async function showPlot(desk: Desk<'start' | 'plotId'>) {
  const { start, plotId } = desk.params
  return showReason(desk, { weekStartOn: start, plotId, turnId: null })
}

interface Asked {
  weekStartOn: CalendarDate
  plotId: Id<'plot'>
  /** The turn that was asked for; null for the whole of the plot's week. */
  turnId: Id<'turn'> | null
}

async function showReason(desk: Desk, { weekStartOn, plotId, turnId }: Asked) {
  const { locale } = desk
  const week = await weekOr404(desk, weekStartOn)
  const { inputs, results } = week
  const plot = found(inputs.plots.find((one) => one.id === plotId))
  const share = results.shares.find((one) => one.plotId === plotId) ?? null
  const claim = inputs.claims.find((one) => one.plotId === plotId) ?? null
  const outlets = inputs.outlets.filter(({ id }) => plot.outletIds.includes(id))
  const said = (volumeM3: number | null | undefined) => (volumeM3 ? saidAtOutlets(desk, volumeM3, outlets) : '')
  const turns = await turnsOf(desk, week)
  const own = turns.filter((turn) => turn.plotId === plotId)
  const tested = own.some(({ on }) => on >= desk.today) ? await outletsUnderPump(desk.db, desk.today) : []
  const changes = [
    ...changeLines(week, desk).filter(({ refused }) => refused === null),
    ...amendmentLines(week, week.amendments, desk),
  ]
  return page(desk, 'rotation/share/reason', {
    title: 'rotation.reason-title',
    titleValues: { number: plot.number, name: plot.name, ...weekValues(desk, weekStartOn) },
    week,
    weekStartOn,
    plot,
    share,
    claim,
    said: { need: said(claim?.needM3.likely), asked: said(share?.requestedM3) },
    held: share && heldWords(week, share),
    order: share && orderOfShare(inputs, share, locale),
    method: methodOfWeek(inputs, locale),
    counted: share && countedOf(inputs, share),
    sumM3: share && tenths(share.receivedM3) + tenths(share.allocatedM3),
    notAdmitted: inputs.notAdmitted.find((one) => one.plotId === plotId) ?? null,
    short: share && fullReason(week, share, desk),
    turnId,
    turns: own.map((turn) => ({ ...turn, less: lessByTest(desk, turn, tested) })),
    changes: changes.filter((line) => line.plotId === plotId),
    unplaced: results.unplaced.filter((one) => one.claimId === plotId),
  })
}

/** The turns of a draft as they are planned, those of a published week as they stand in the book. */
async function turnsOf({ db }: Desk, { inputs, results }: ShownWeek) {
  const booked = (await bookedTurns(db, inputs.weekStartOn))?.turns
  if (!booked) return results.turns.map((turn) => namedTurn(inputs, turn))
  return booked.map((turn) => ({ ...turn, isChanged: replacementOf(booked, turn) !== undefined }))
}

/** What never came but is counted as received, beside what came; null where there is none. */
function countedOf({ countedM3 }: ShownWeek['inputs'], { plotId, receivedM3 }: PlannedShare) {
  const counted = countedM3?.[plotId]
  if (!counted) return undefined
  const { forfeitedM3, lapsedM3 } = counted
  const kind = lapsedM3 === 0 ? 'forfeited' : forfeitedM3 > 0 ? 'both' : 'lapsed'
  return { ...counted, kind, cameM3: receivedM3 - forfeitedM3 - lapsedM3 }
}

/** Rounded as it is shown, so that a reader who adds the shown figures comes to the shown sum. */
function tenths(volumeM3: M3): number {
  return Math.round(volumeM3 * 10) / 10
}
