import type { Database } from '../database/connection.ts'
import { findPublishedWeek, findTurnWeek, type PublishedWeek, turnId } from './week-store.ts'
import { type NamedTurn, namedTurn } from './week-view.ts'

/** A turn of a published week as it stands in the book, under the id that the log knows. */
export interface BookedTurn extends NamedTurn {
  bookId: string
  writtenAt: string
  /** The amendment that took it off the list; null while it stands. */
  droppedBy: string | null
}

export interface PublishedShown extends Pick<PublishedWeek, 'inputs' | 'results'> {
  published: PublishedWeek
  turns: BookedTurn[]
}

/** A published week with its turns; undefined for a draft. */
export async function bookedTurns(db: Database, weekStartOn: string): Promise<PublishedShown | undefined> {
  const published = await findPublishedWeek(db, weekStartOn)
  if (!published) return undefined
  const { inputs, results, publishedAt } = published
  const turns = results.turns.map((turn, at) => ({
    ...namedTurn(inputs, turn),
    bookId: turnId(weekStartOn, at),
    writtenAt: publishedAt,
    droppedBy: null,
  }))
  return { inputs, results, published, turns }
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
