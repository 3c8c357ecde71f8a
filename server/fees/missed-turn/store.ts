import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { approvals } from '../../book/names/approvals.ts'
import { listWithheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'

interface NewHearing {
  turnId: Id<'turn'>
  heardOn: CalendarDate
  /** What whoever had the turn said. */
  hearing: string
  /** The last day on which the step can be appealed. */
  appealUntil: CalendarDate
}

/** A hearing about a turn that was left without word; nothing is charged for one that was not heard. */
export interface Hearing extends NewHearing {
  id: string
  writerName: string
  writtenAt: string
  isNamed: boolean
  /** What was said against the step; a later hearing answers it. */
  appeal: string | null
}

/** How far the step is: `settled` once the hearing has its second name, its days of appeal are over and nobody appealed. */
type Step = 'not-heard' | 'waits-for-name' | 'may-appeal' | 'appealed' | 'settled'

export async function writeHearing(pen: Pen, { turnId, heardOn, hearing, appealUntil }: NewHearing): Promise<string> {
  const row = { turnId, heardOn, hearing, appealUntil }
  return appendEntry(pen, { kind: 'missed-turn-heard' }, { missedHearing: [row], ...NAME_NEEDED })
}

export async function writeAppeal(
  pen: Pen,
  { hearingId, words }: { hearingId: string; words: string },
): Promise<string> {
  return appendEntry(pen, { kind: 'missed-turn-appeal' }, { missedAppeal: [{ hearingId, words }] })
}

const hearingRows = readTogether('money', (db) =>
  db
    .selectFrom('missedHearing')
    .innerJoin('entry', 'entry.id', 'missedHearing.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'turnId', 'heardOn', 'hearing', 'appealUntil', 'person.name as writerName', 'writtenAt'])
    .orderBy(asWritten),
)

const appealRows = readTogether('money', (db) => db.selectFrom('missedAppeal').selectAll())

/** The last hearing about each turn, but for those that were declined or withdrawn. */
export async function lastHearings(db: Database): Promise<Map<string, Hearing>> {
  const rows = await hearingRows(db)
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  const appeals = group(await appealRows(db), ({ hearingId }) => hearingId)
  return new Map(
    rows
      .filter(({ id }) => !withheld.has(id))
      .map((row) => [
        row.turnId,
        { ...row, isNamed: named.has(row.id), appeal: appeals.get(row.id)?.at(-1)?.words ?? null },
      ]),
  )
}

/** The turn that a hearing is about, with its plot as it was held on that day. */
export async function turnHeard(
  db: Database,
  turnId: Id<'turn'>,
): Promise<{ turnId: string; on: string; plot: Plot | null } | undefined> {
  const row = await db.selectFrom('turn').select(['plotId', 'onDate']).where('id', '=', turnId).executeTakeFirst()
  if (!row) return undefined
  const plot = (await listPlots(db, row.onDate)).find(({ id }) => id === row.plotId)
  return { turnId, on: row.onDate, plot: plot ?? null }
}

/** How far the step about a turn is on a day. */
export function stepOn(hearing: Hearing | undefined, on: CalendarDate): Step {
  if (!hearing) return 'not-heard'
  if (!hearing.isNamed) return 'waits-for-name'
  if (hearing.appeal !== null) return 'appealed'
  return hearing.appealUntil >= on ? 'may-appeal' : 'settled'
}
