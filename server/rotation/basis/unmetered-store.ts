import { group } from 'd3-array'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { asWritten, standing } from '../../book/standing.ts'
import { change, isSince, type Since, type WrittenChange } from './written-change.ts'

/** Less than about one small turn in all changes a week's parts little. Own choice, no source. */
const MUCH_M3: M3 = 5

/**
 * Water off the list that no meter showed, once it is much in all: it is gone from the sand, or has come to its plot, by its writer's word.
 * What people and animals fetch is not among it, since a week keeps theirs by the heads that drink.
 */
export async function unmeteredSince(since: Since): Promise<WrittenChange[]> {
  const rows = await since.db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .innerJoin('weir', 'weir.entryId', 'abstraction.weirId')
    .select(['abstraction.entryId', 'plotId', 'onDate as on', 'volumeM3', 'weir.number as weir'])
    .where(isSince(since))
    .where('entry.correctsId', 'is', null)
    .where('turnId', 'is', null)
    .where('method', 'not in', ['meter', 'replaced'])
    .where('use', 'not in', ['drinking', 'stock'])
    .where(standing('abstraction'))
    .orderBy(asWritten)
    .execute()
  if (sum(rows, ({ volumeM3 }) => volumeM3) < MUCH_M3) return []
  return [...group(rows, ({ plotId, weir }) => plotId ?? weir).values()].map((own) => {
    const [entryId, ...earlierIds] = own.map((row) => row.entryId).toReversed()
    const { plotId, on, weir } = own.at(-1)!
    return change(plotId === null ? 'unmetered-of-weir' : 'unmetered', {
      entryId: entryId!,
      earlierIds,
      plotId,
      on,
      is: sum(own, ({ volumeM3 }) => volumeM3),
      weir,
      href: `/log/days/${on}`,
    })
  })
}
