import { group } from 'd3-array'
import type { RawBuilder } from 'kysely'
import type { Id } from '../../../domain/id.ts'
import { ASKED_HOW, type AskedHow, askedFacts } from '../../book/asked/store.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** How somebody gave a word that another person writes in: present, with a mark on the paper; through a child; by a message; by a ticket. */
export const GIVEN = ASKED_HOW
type Given = AskedHow

export interface Consent {
  id: string
  plotId: Id<'plot'>
  personName: string
  writerId: Id<'person'>
  writerName: string
  given: Given | null
  at: string
}

/**
 * A holder's word that it is agreed; whoever writes it in for them is kept beside it, with how the word was given. Where the
 * writer's own household gains by it, or the same person wrote both words for others, it does not count before a second name.
 */
export async function addConsent(
  pen: Pen,
  consent: {
    swapId: Id<'swap'>
    plotId: Id<'plot'>
    personId: Id<'person'>
    given: Given | null
    needsName: boolean
    /** How others who hold the plot agreed. */
    marks?: Pick<Facts, 'holderMark'>
  },
) {
  const { swapId, plotId, personId, given, needsName, marks = {} } = consent
  // A word that a child brings is a message, and that it was a child stands beside it.
  const byChild = given === 'child'
  const row = { swapId, plotId, personId, given: byChild ? 'message' : given }
  const forPersonId = consent.personId === pen.writtenBy ? null : consent.personId
  const said = { ...marks, ...(byChild ? askedFacts({ askedHow: 'child' }) : {}), swapConsent: [row] }
  const facts = needsName ? { ...said, ...NAME_NEEDED } : said
  return appendEntry(pen, { kind: 'swap-consent', forPersonId }, facts)
}

/** The consents of each swap that count, wait, or whatever else is asked of them. */
export async function consentsWhere(db: Database, counts: RawBuilder<boolean>): Promise<Map<string, Consent[]>> {
  const rows = await db
    .selectFrom('swapConsent')
    .innerJoin('entry', 'entry.id', 'swapConsent.entryId')
    .innerJoin('person', 'person.entryId', 'swapConsent.personId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('askedThrough', 'askedThrough.entryId', 'entry.id')
    .select(['swapId', 'entry.id', 'plotId', 'person.name as personName'])
    .select(['entry.writtenBy as writerId', 'writer.name as writerName', 'given', 'how', 'entry.writtenAt as at'])
    .where(counts)
    .orderBy(asWritten)
    .execute()
  return group(
    rows.map(({ how, ...row }) => ({ ...row, given: (how ?? row.given) as Given | null })),
    ({ swapId }) => swapId,
  )
}

/** The swap to which a consent belongs. */
export async function swapOfConsent(
  db: Database,
  consentId: string,
): Promise<{ swapId: string; plotId: string } | undefined> {
  return db.selectFrom('swapConsent').select(['swapId', 'plotId']).where('entryId', '=', consentId).executeTakeFirst()
}
