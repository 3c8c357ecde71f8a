import type { Database } from '../../database/connection.ts'
import type { Facts } from '../entries.ts'

/** How somebody asked whose words another person writes in: standing there, through a child, by a message, by a ticket. */
export const ASKED_HOW = ['present', 'child', 'message', 'ticket'] as const
export type AskedHow = (typeof ASKED_HOW)[number]

/** Nothing of it stands where whoever asks writes it in alone. */
export interface AskedThrough {
  how: AskedHow
  /** Who brought the words, or the number on the ticket. */
  bearer: string | null
}

/** The fact that hangs on what was asked; none where nobody said anything of it. */
export function askedFacts({
  askedHow,
  bearer = null,
}: {
  askedHow: AskedHow | null
  bearer?: string | null
}): Pick<Facts, 'askedThrough'> {
  if (askedHow === null && bearer === null) return {}
  return { askedThrough: [{ how: askedHow ?? 'present', bearer }] }
}

/** How some entries were asked, by the entry. */
export async function askedThroughOf(db: Database, ids: readonly string[]): Promise<Map<string, AskedThrough>> {
  if (ids.length === 0) return new Map()
  const rows = await db
    .selectFrom('askedThrough')
    .selectAll()
    .where('entryId', 'in', ids as string[])
    .execute()
  return new Map(rows.map(({ entryId, how, bearer }) => [entryId, { how: how as AskedHow, bearer }]))
}
