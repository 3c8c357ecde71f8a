import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { HearingBody, StepTaken } from '../../../domain/people/ladder.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groundOf, type StepGround, stepGrounds } from './rule-store.ts'

interface NewWarning {
  personId: Id<'person'>
  step: 'word' | 'warning'
  /** The rule of the group's own book, and what happened. */
  rule: string
  fact: string
  /** When the person was heard, and what was said. */
  heardOn: CalendarDate
  hearing: string
  /** Who decided. */
  body: HearingBody
  /** From this day on it no longer counts. */
  lapseOn: CalendarDate
}

/** A step, and the number of the rule by which it was taken; null where it was taken by none. */
export interface StepAbout extends StepTaken {
  conduct: string | null
}

export interface Warning extends NewWarning, StepAbout {
  id: string
  step: 'word' | 'warning'
  personName: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  /** False while it waits for the name of a second officer. */
  stands: boolean
  appeal: { toBody: HearingBody; words: string } | null
  ruling: { stands: boolean; words: string; writerName: string } | null
  ground?: StepGround
}

/** A word holds at once, a warning once a second officer has put a name under it. */
export async function writeWarning(
  pen: Pen,
  warning: NewWarning,
  { minute, ...ground }: StepGround & { minute: string | null },
): Promise<string> {
  const { personId, step, rule, fact, heardOn, hearing, body, lapseOn } = warning
  const row = { personId, step, rule, fact, heardOn, hearing, body, lapseOn }
  const facts = { warning: [row], ...groundOf(ground), ...restingOn(minute) }
  if (step === 'word') return appendEntry(pen, { kind: 'word-given', forPersonId: personId }, facts)
  return appendEntry(pen, { kind: 'warning-heard', forPersonId: personId }, { ...facts, ...NAME_NEEDED })
}

export async function writeAppeal(pen: Pen, { id, personId }: Warning, appeal: { toBody: HearingBody; words: string }) {
  const { toBody, words } = appeal
  const row = { warningId: id, toBody, words }
  return appendEntry(pen, { kind: 'warning-appealed', forPersonId: personId }, { warningAppeal: [row] })
}

export async function writeRuling(
  pen: Pen,
  { id, personId }: Warning,
  { stands, words }: { stands: boolean; words: string },
): Promise<string> {
  const row = { warningId: id, stands: stands ? 1 : 0, words }
  return appendEntry(pen, { kind: 'warning-ruled', forPersonId: personId }, { warningRuling: [row] })
}

const warningRows = readTogether('names', (db) =>
  db
    .selectFrom('warning')
    .innerJoin('entry', 'entry.id', 'warning.entryId')
    .innerJoin('person', 'person.entryId', 'warning.personId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .selectAll('warning')
    .select(['person.name as personName', 'writer.entryId as writerId', 'writer.name as writerName', 'writtenAt'])
    .where(({ or }) => or([standing('warning'), waitsForName('warning')]))
    .orderBy(asWritten, 'desc'),
)

const waitingWarnings = readTogether('names', (db) =>
  db.selectFrom('warning').select('entryId').where(waitsForName('warning')),
)

const appealRows = readTogether('names', (db) =>
  db.selectFrom('warningAppeal').selectAll().where(standing('warningAppeal')),
)

const rulingRows = readTogether('names', (db) =>
  db
    .selectFrom('warningRuling')
    .innerJoin('entry', 'entry.id', 'warningRuling.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['warningId', 'stands', 'words', 'person.name as writerName'])
    .where(standing('warningRuling')),
)

/** Words and warnings that stand or wait for their second name, the last written first. */
export async function listWarnings(db: Database): Promise<Warning[]> {
  const rows = await warningRows(db)
  const waiting = await waitingWarnings(db)
  const waits = new Set(waiting.map(({ entryId }) => entryId))
  const appeals = await appealRows(db)
  const rulings = await rulingRows(db)
  const grounds = await stepGrounds(db)
  return rows.map(({ entryId, ...row }) => {
    const ground = grounds.get(entryId)
    const appeal = appeals.find(({ warningId }) => warningId === entryId)
    const ruling = rulings.find(({ warningId }) => warningId === entryId)
    return {
      ...row,
      id: entryId,
      ground,
      conduct: ground?.rule?.number ?? null,
      stands: !waits.has(entryId),
      isLifted: waits.has(entryId) || ruling?.stands === 0,
      appeal: appeal ? { toBody: appeal.toBody, words: appeal.words } : null,
      ruling: ruling ? { ...ruling, stands: ruling.stands === 1 } : null,
    }
  })
}

/** The steps before a fine that were taken towards a person. */
export async function stepsTowards(db: Database, personId: Id<'person'>): Promise<StepAbout[]> {
  return (await listWarnings(db)).filter((one) => one.personId === personId)
}
