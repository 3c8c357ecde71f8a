import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { kept } from '../../book/kept-answers.ts'
import { askTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { type Amendment, amendedTurns, amendmentRows, amendmentsOfRows } from './amendment-store.ts'
import { type NamedTurn, namedTurn } from './named-turn.ts'
import { agreedTurns, findPublishedWeek, findTurnWeek, type PublishedWeek, type SeasonWeek } from './store.ts'

/** A turn of a published week as it stands in the book, under the id that the log knows. */
export interface BookedTurn extends NamedTurn {
  bookId: string
  writtenAt: Instant
  /** The amendment that took it off the list; null while it stands. */
  droppedBy: string | null
  /** The amendment that brought it in; null for a turn of the published week. */
  amendment: string | null
}

export interface ShownWeek<Week extends SeasonWeek> extends Pick<Week, 'inputs' | 'results'> {
  published: Week
  turns: BookedTurn[]
  amendments: Amendment[]
}

export type PublishedShown = ShownWeek<PublishedWeek>

/** A published week with its turns, those of later amendments among them; undefined for a draft. */
export function bookedTurns(db: Database, weekStartOn: CalendarDate): Promise<PublishedShown | undefined> {
  return kept(db, 'booked turns', weekStartOn, async () => {
    const published = await findPublishedWeek(db, weekStartOn)
    return published && bookedTurnsOf(db, published)
  })
}

/** The same for a week that has been read already. */
export async function bookedTurnsOf(db: Database, published: PublishedWeek): Promise<PublishedShown> {
  return (await bookedWeeks(db, [published]))[0]!
}

/** The same for several weeks, in their order. */
export async function bookedWeeks<Week extends SeasonWeek>(
  db: Database,
  weeks: readonly Week[],
): Promise<ShownWeek<Week>[]> {
  if (weeks.length === 0) return []
  const starts = weeks.map(({ weekStartOn }) => weekStartOn)
  const publications = weeks.map(({ id }) => id)
  const [changes, agreed] = await askTogether(db, amendmentRows(db, starts), agreedTurns(db, publications))
  const amendments = await amendmentsOfRows(db, changes)
  const rows = await amendedTurns(
    db,
    amendments.map((one) => one.id),
  )
  const amendmentsBy = group(amendments, ({ weekStartOn }) => weekStartOn)
  const agreedBy = group(agreed, ({ entryId }) => entryId)
  const rowsBy = group(rows, ({ entryId }) => entryId)
  const idsOf = (published: Week) => (agreedBy.get(published.id) ?? []).map(({ id }) => id)
  return weeks.map((published) => {
    const own = amendmentsBy.get(published.weekStartOn) ?? []
    const later = own.flatMap(({ id }) => rowsBy.get(id) ?? [])
    return shownWeek(published, { amendments: own, ids: idsOf(published), later })
  })
}

interface WithWeek {
  amendments: Amendment[]
  /** Of the turns that were agreed, in the order of the list. */
  ids: readonly string[]
  /** The turns that amendments brought in. */
  later: readonly Row[]
}

function shownWeek<Week extends SeasonWeek>(published: Week, { amendments, ids, later }: WithWeek): ShownWeek<Week> {
  const { inputs, results, publishedAt } = published
  const droppedBy = new Map(amendments.map((one) => [one.turnId, one.id]))
  const booked = (turn: PlannedTurn, bookId: string, amendment: Amendment | null): BookedTurn => ({
    ...namedTurn(inputs, turn),
    bookId,
    writtenAt: amendment?.at ?? publishedAt,
    droppedBy: droppedBy.get(bookId) ?? null,
    amendment: amendment?.id ?? null,
  })
  const agreed = results.turns.map((turn, at) => booked(turn, ids[at]!, null))
  const brought = later.map((row) => booked(turnOfRow(row), row.id, amendments.find((one) => one.id === row.entryId)!))
  const turns = [...agreed, ...brought].sort((a, b) =>
    a.on < b.on ? -1 : a.on > b.on ? 1 : a.startMinute - b.startMinute,
  )
  return { inputs, results, published, turns, amendments }
}

/** The turn that came in the place of one that was taken off the list, over several changes; undefined where none did. */
export function replacementOf(turns: readonly BookedTurn[], { droppedBy, plotId }: BookedTurn): BookedTurn | undefined {
  if (droppedBy === null) return undefined
  const next = turns.find((one) => one.amendment === droppedBy && one.plotId === plotId)
  return next?.droppedBy ? replacementOf(turns, next) : next
}

export async function turnInBook(
  db: Database,
  id: string,
): Promise<{ week: PublishedShown; turn: BookedTurn } | undefined> {
  const weekStartOn = await findTurnWeek(db, id)
  const week = weekStartOn && (await bookedTurns(db, weekStartOn))
  const turn = week ? week.turns.find((one) => one.bookId === id) : undefined
  return week && turn ? { week, turn } : undefined
}

type Row = Awaited<ReturnType<typeof amendedTurns>>[number]

function turnOfRow(row: Row): PlannedTurn {
  const plotId = row.plotId ?? ''
  return {
    id: `${plotId}/${row.outletId}/${row.onDate}`,
    claimId: plotId,
    plotId,
    outletId: row.outletId,
    pumpId: row.pumpId,
    on: row.onDate,
    order: 0,
    startMinute: row.startMinute,
    endMinute: row.endMinute,
    volumeM3: row.volumeM3,
    hours: (row.endMinute - row.startMinute) / 60,
    burdens: [],
  }
}

/** A turn of the book as the reckoning takes it, without its names. */
export function plainTurn({
  plot: _,
  outlet: __,
  pump: ___,
  bookId: ____,
  writtenAt: _____,
  droppedBy: ______,
  amendment: _______,
  ...turn
}: BookedTurn): PlannedTurn {
  return turn
}
