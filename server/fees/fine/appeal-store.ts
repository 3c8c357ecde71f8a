import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { chargedStill, type Fine, takeBack } from './store.ts'

/** What was said against a fine, and how the body that was asked decided; null until it has. */
export interface Appeal {
  /** The body that decides, as it was named: an assembly, elders, a council. */
  decidedBy: string
  words: string
  decision: { stands: boolean; words: string; writerName: string; writtenAt: string } | null
}

export async function writeAppeal(pen: Pen, { id, personId }: Fine, appeal: { decidedBy: string; words: string }) {
  const head = { kind: 'fine-appealed', forPersonId: personId }
  return appendEntry(pen, head, { fineAppeal: [{ fineId: id, ...appeal }] })
}

/** A fine that the body lifts is taken back in the same act; of one that lapsed meanwhile, what was paid. */
export async function decideAppeal(
  pen: Pen,
  fine: Fine,
  { stands, words, onDate, reason }: { stands: boolean; words: string; onDate: string; reason: string },
): Promise<string> {
  const head = { kind: 'fine-decided', forPersonId: fine.personId }
  const row = { fineId: fine.id, stands: stands ? 1 : 0, words } as const
  const id = await appendEntry(pen, head, { fineDecision: [row] })
  if (!stands && (await chargedStill(pen.trx, fine)) > 0) await takeBack(pen, fine, { onDate, reason })
  return id
}

/** The appeals by their fine. */
export async function fineAppeals(db: Database): Promise<Map<string, Appeal>> {
  const decided = await db
    .selectFrom('fineDecision')
    .innerJoin('entry', 'entry.id', 'fineDecision.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('fineDecision'))
    .select(['fineId', 'stands', 'words', 'person.name as writerName', 'entry.writtenAt'])
    .execute()
  const decisions = new Map(decided.map(({ fineId, stands, ...one }) => [fineId, { ...one, stands: stands === 1 }]))
  const rows = await db.selectFrom('fineAppeal').where(standing('fineAppeal')).selectAll().execute()
  return new Map(
    rows.map(({ fineId, decidedBy, words }) => [fineId, { decidedBy, words, decision: decisions.get(fineId) ?? null }]),
  )
}

const underAppeal = readTogether('money', (db) =>
  db
    .selectFrom('fineAppeal')
    .innerJoin('transferCause', 'transferCause.causeId', 'fineAppeal.fineId')
    .where(standing('fineAppeal'))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('fineDecision')
            .select('fineDecision.entryId')
            .whereRef('fineDecision.fineId', '=', 'fineAppeal.fineId')
            .where(standing('fineDecision')),
        ),
      ),
    )
    .select('transferCause.entryId'),
)

/** The transfers of fines about which a body is still to decide: until then nobody is late with them. */
export async function finesUnderAppeal(db: Database): Promise<ReadonlySet<Id<'transfer'>>> {
  const rows = await underAppeal(db)
  return new Set(rows.map(({ entryId }) => entryId as Id<'transfer'>))
}
