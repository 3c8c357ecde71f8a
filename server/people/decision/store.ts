import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type DecidingBody, numberKey, type QuorumPart } from '../../../domain/people/decision.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface Decision {
  id: Id<'decision'>
  number: string
  key: string
  metOn: CalendarDate
  body: DecidingBody
  words: string
  officersWords: string | null
  present: number | null
  votesFor: number | null
  votesAgainst: number | null
  abstained: number | null
  writtenAt: Instant
  /** False while it waits for the name of a second officer. */
  stands: boolean
}

const decisionRows = readTogether('names', (db) =>
  db
    .selectFrom('decision')
    .innerJoin('entry', 'entry.id', 'decision.entryId')
    .selectAll('decision')
    .select('entry.writtenAt')
    .where(({ or }) => or([standing('decision'), waitsForName('decision')]))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(selectFrom('entry as later').select('later.id').whereRef('later.correctsId', '=', 'decision.entryId')),
      ),
    )
    .orderBy('metOn', 'desc')
    .orderBy(asWritten, 'desc'),
)

const waitingDecisions = readTogether('names', (db) =>
  db.selectFrom('decision').select('entryId').where(waitsForName('decision')),
)

/** Decisions that stand or wait for their second name, the last meeting first. */
export async function listDecisions(db: Database): Promise<Decision[]> {
  const rows = await decisionRows(db)
  const waiting = await waitingDecisions(db)
  const waits = new Set<string>(waiting.map(({ entryId }) => entryId))
  return rows.map(({ entryId, ...row }) => ({
    ...row,
    id: entryId,
    key: numberKey(row.number),
    stands: !waits.has(entryId),
  }))
}

export async function setQuorum(
  pen: Pen,
  { fromOn, body, part }: { fromOn: CalendarDate; body: DecidingBody; part: QuorumPart },
): Promise<string> {
  return appendEntry(pen, { kind: 'quorum-rule' }, { quorumRule: [{ fromOn, body, part }] })
}

/** Which part of a body has to be there on a day; null where the group wrote no rule for it. */
export async function quorumPartOn(db: Database, body: DecidingBody, on: CalendarDate): Promise<QuorumPart | null> {
  const rows = await db
    .selectFrom('quorumRule')
    .innerJoin('entry', 'entry.id', 'quorumRule.entryId')
    .select(['fromOn', 'part', 'entry.seq'])
    .where('body', '=', body)
    .where(standing('quorumRule'))
    .execute()
  return inForce(rows, on)?.part ?? null
}
