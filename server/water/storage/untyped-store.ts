import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { stoppedByFaults, strikes } from '../../works/fault/store.ts'
import { listPumps } from '../../works/pump/store.ts'

/** A turn that was agreed and is over, and of which nobody has written a word: neither its water nor why there was none. */
export interface UntypedTurn {
  weirId: Id<'weir'>
  /** Null for a turn that fills people's and animals' water. */
  plotId: Id<'plot'> | null
  onDate: CalendarDate
  volumeM3: M3
}

/** How many they are, and the most that they drew. */
export interface Untyped {
  count: number
  volumeM3: M3
}

export function countUntyped(turns: readonly UntypedTurn[]): Untyped {
  return { count: turns.length, volumeM3: sum(turns, ({ volumeM3 }) => volumeM3) }
}

/**
 * Agreed turns without a word, from a day on and before another. Paper lags behind the water, so each counts as drawn,
 * and may have been anything between nothing and its volume. What a fault kept from running was not drawn.
 */
export async function untypedTurns(
  db: Database,
  { fromOn, beforeOn }: { fromOn: CalendarDate; beforeOn: CalendarDate },
): Promise<UntypedTurn[]> {
  const turns = await agreedUnlogged(db, { fromOn, beforeOn }).execute()
  if (turns.length === 0) return []
  const stopped = await stoppedByFaults(db)
  const weirOf = new Map((await listPumps(db, fromOn)).map((pump) => [pump.id, pump.weirId]))
  const missed = turnsMissed(await wordsOfTurns(db).execute())
  const ran = turns.filter(
    (turn) => !missed.has(turn.id) && !stopped.some((one) => standsOn(one, turn.onDate) && strikes(one, turn)),
  )
  return ran.flatMap(({ pumpId, plotId, onDate, volumeM3 }) => {
    const weirId = weirOf.get(pumpId)
    return weirId ? [{ weirId, plotId, onDate, volumeM3 }] : []
  })
}

export function agreedUnlogged(db: Database, { fromOn, beforeOn }: { fromOn: CalendarDate; beforeOn: CalendarDate }) {
  return db
    .selectFrom('turn')
    .select(['turn.id', 'plotId', 'pumpId', 'outletId', 'onDate', 'volumeM3'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<', beforeOn)
    .where(standing('turn'))
    .where(isNotLogged)
}

/** No change took it off the list, and no draw names it. */
const isNotLogged = sql<boolean>`
  not exists (select 1 from turn_change where turn_change.turn_id = turn.id and ${standing('turnChange')})
  and not exists (select 1 from abstraction where abstraction.turn_id = turn.id and ${standing('abstraction')})`

/** What was said of turns, first to last; who stands in says nothing of whether they were taken. */
export function wordsOfTurns(db: Database) {
  return db
    .selectFrom('turnOutcome')
    .innerJoin('entry', 'entry.id', 'turnOutcome.entryId')
    .select(['turnId', 'cause'])
    .where('cause', '<>', 'stand-in')
    .where(standing('turnOutcome'))
    .orderBy(asWritten)
}

/** Turns of which the last word is that they were missed; who comes late says nothing of that. */
function turnsMissed(words: readonly { turnId: string; cause: string }[]): Set<string> {
  const last = new Map(words.map(({ turnId, cause }) => [turnId, cause]))
  return new Set([...last].flatMap(([turnId, cause]) => (cause === 'here' || cause === 'late' ? [] : [turnId])))
}
