import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Calibration } from '../../../domain/water/calibration/calibrate.ts'
import { senseOfFall } from '../../../domain/water/loss/recession.ts'
import type { EvidenceGrade, LevelVolumeRow } from '../../../domain/water/sand/body.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { type Approval, approvals } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What a fit rested on, kept with the table so that the page can tell it for ever. */
export type TableWorking = Pick<
  Extract<Calibration, { refused: null }>,
  'readings' | 'fallCm' | 'bands' | 'loss' | 'residualCm' | 'halfWidth' | 'meterAgrees'
> & { fromOn: CalendarDate; toOn: CalendarDate }

interface NewTable {
  weirId: Id<'weir'>
  fromOn: CalendarDate
  /** The survey under which it was made; a later survey ends it. */
  surveyId: Id<'survey'>
  answer: 'accept' | 'decline'
  grade: EvidenceGrade
  /** The loss that was fitted with it; null where the table says nothing of it. */
  lossCmPerDay: number | null
  /** Why it is taken or declined. */
  words: string
  working: TableWorking | null
  /** Lowest level first. */
  rows: LevelVolumeRow[]
}

/** A decision on a level-volume table: one name wrote it, a second must stand under it. */
export interface WrittenTable extends NewTable {
  id: string
  /** Only in older books: the decision that this decline took the place of. */
  correctsId: string | null
  seq: number
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  /** Who declined or withdrew it while it waited, and why. */
  withheld: Withheld | null
  /** In older books a decline took the place of what it declined: that decision, and the name under it. */
  declinedById: string | null
  declinedByName: string | null
}

/** It counts once a second name stands under it, as long as nobody declined it before. */
export function isAccepted({ answer, approval, declinedById }: WrittenTable): boolean {
  return answer === 'accept' && approval !== null && declinedById === null
}

export async function addTable(pen: Pen, table: NewTable): Promise<string> {
  const row = {
    weirId: table.weirId,
    fromOn: table.fromOn,
    surveyId: table.surveyId,
    answer: table.answer,
    grade: table.grade,
    lossCmPerDay: table.lossCmPerDay,
    words: table.words,
    working: table.working && JSON.stringify(table.working),
  }
  const rows = table.rows.map(({ levelM, lowM3, likelyM3, highM3 }) => ({
    levelM,
    lowM3,
    likelyM3,
    highM3,
  }))
  return appendEntry(pen, { kind: 'level-volume-table' }, { levelVolumeTable: [row], levelVolumeRow: rows })
}

const tableRows = readTogether('water', (db) =>
  db
    .selectFrom('levelVolumeTable')
    .innerJoin('entry', 'entry.id', 'levelVolumeTable.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .leftJoin('entry as later', 'later.correctsId', 'entry.id')
    .leftJoin('person as decliner', 'decliner.entryId', 'later.writtenBy')
    .selectAll('levelVolumeTable')
    .select(['entry.seq', 'entry.writtenBy', 'entry.writtenAt', 'entry.correctsId', 'person.name as writerName'])
    .select(['later.id as laterId', 'decliner.name as declinerName'])
    .orderBy(asWritten),
)

const levelRows = readTogether('water', (db) => db.selectFrom('levelVolumeRow').selectAll().orderBy('levelM'))

/** Every decision on a table, with or without its second name, the declined too, in the order of writing. */
export async function listTables(db: Database, weirId?: Id<'weir'>): Promise<WrittenTable[]> {
  const rows = (await tableRows(db)).filter((row) => weirId === undefined || row.weirId === weirId)
  if (rows.length === 0) return []
  const levels = await levelRows(db)
  const byTable = group(levels, (row) => row.entryId)
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  return rows.map((row) => ({
    id: row.entryId,
    seq: row.seq,
    weirId: row.weirId,
    fromOn: row.fromOn,
    surveyId: row.surveyId,
    answer: row.answer as NewTable['answer'],
    grade: row.grade as EvidenceGrade,
    lossCmPerDay: row.lossCmPerDay,
    words: row.words,
    working: row.working === null ? null : workingOf(row.working),
    rows: (byTable.get(row.entryId) ?? []).map((one) => ({
      levelM: one.levelM,
      lowM3: one.lowM3,
      likelyM3: one.likelyM3,
      highM3: one.highM3,
    })),
    writerId: row.writtenBy,
    writerName: row.writerName,
    writtenAt: row.writtenAt,
    approval: named.get(row.entryId) ?? null,
    withheld: withheld.get(row.entryId) ?? null,
    correctsId: row.correctsId,
    declinedById: row.laterId,
    declinedByName: row.declinerName,
  }))
}

/** Older tables do not say what their fall says. */
function workingOf(written: string): TableWorking {
  const { loss, ...working } = JSON.parse(written) as TableWorking
  return { ...working, loss: { ...loss, sense: senseOfFall(loss.fallCmPerDay, loss.standardErrorCmPerDay) } }
}
