import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import type { LevelVolumeRow, SandBody } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3, stageStorageCurve } from '../../../domain/water/sand/storage.ts'
import { bodyOf, levelsOf, type WeirSurvey } from '../sand/description.ts'
import { isAccepted, type WrittenTable } from '../sand/table-store.ts'

type TableState = 'waits' | 'in-force' | 'past' | 'decline-waits' | 'declined'

export function tableState(table: WrittenTable, now: WeirSurvey | null): TableState {
  if (table.withheld || table.declinedById) return 'declined'
  if (table.answer === 'decline') return table.approval || table.correctsId ? 'declined' : 'decline-waits'
  if (!table.approval) return 'waits'
  return now?.table?.id === table.id ? 'in-force' : 'past'
}

/** Why this person cannot put the second name under a decision; null when nothing is in the way. */
export function hindrance(table: WrittenTable, now: WeirSurvey | null, personId: Id<'person'>): string | null {
  if (table.approval || table.correctsId || table.declinedById || table.withheld) return 'storage.table.already-decided'
  if (table.writerId === personId) return 'storage.table.own-name'
  return table.answer === 'accept' && now?.surveyId !== table.surveyId ? 'storage.table.survey-changed' : null
}

/** What held before a table, so that both can stand side by side. */
export function descriptionBefore(surveys: readonly WeirSurvey[], table: WrittenTable): WeirSurvey | null {
  const earlier = surveys.filter((one) => one.seq < table.seq && one.fromOn <= table.fromOn)
  return earlier.findLast((one) => one.surveyId === table.surveyId) ?? null
}

interface ComparedRow extends LevelVolumeRow {
  stickCm: number
  /** Likely water by the curve or table that held before. */
  beforeM3: M3
}

export function comparedRows(rows: readonly LevelVolumeRow[], before: WeirSurvey): ComparedRow[] {
  const body = bodyOf(before)
  const { markLevelM } = levelsOf(before)
  return rows.toReversed().map((row) => ({
    ...row,
    stickCm: (markLevelM - row.levelM) * 100,
    beforeM3: drainableStorageM3({ body, waterLevelM: row.levelM }).likelyM3,
  }))
}

interface BoardRow extends LevelVolumeRow {
  stickCm: number
  /** Likely water above the off-take. */
  canBeDrawnM3: M3
  marks: ('crest' | 'off-take' | 'bed')[]
  /** Of the largest in the table, for its bar. */
  barPart: number
  /** Fields of the drawn stick are black and white by turns. */
  isBlack: boolean
}

/** The table for the board: every 10 cm from the crest down, by the stick. */
export function boardRows(body: SandBody, survey: WeirSurvey): BoardRow[] {
  const { markLevelM, offTakeLevelM } = levelsOf(survey)
  const below = drainableStorageM3({ body, waterLevelM: offTakeLevelM }).likelyM3
  const rows = stageStorageCurve({ body }).reverse()
  const mostM3 = Math.max(1, rows[0]!.likelyM3 - below)
  return rows.map(({ levelM, lowM3, likelyM3, highM3 }, at) => {
    const next = rows[at + 1]
    const isAtOffTake = levelM >= offTakeLevelM && (!next || next.levelM < offTakeLevelM)
    return {
      levelM,
      lowM3,
      likelyM3,
      highM3,
      stickCm: (markLevelM - levelM) * 100,
      canBeDrawnM3: Math.max(0, likelyM3 - below),
      barPart: Math.round((Math.max(0, likelyM3 - below) / mostM3) * 1000) / 10,
      isBlack: at % 2 === 0,
      marks: [
        ...(at === 0 ? ['crest' as const] : []),
        ...(isAtOffTake ? ['off-take' as const] : []),
        ...(next ? [] : ['bed' as const]),
      ],
    }
  })
}

/** The lowest row at which what is kept for people and animals still stands above the off-take; the crest, where even all of it is too little. */
export function drinkingRow(rows: readonly BoardRow[], keptM3: M3): BoardRow | undefined {
  return rows.findLast(({ canBeDrawnM3 }) => canBeDrawnM3 >= keptM3) ?? rows[0]
}

/** Decisions newest first, with how each stands. */
export function listedTables(tables: readonly WrittenTable[], now: WeirSurvey | null) {
  return tables
    .toReversed()
    .map((table) => ({ ...table, state: tableState(table, now), isAccepted: isAccepted(table) }))
}

/** Between head and foot of a sheet of A4, in millimetres. */
const TABLE_MM = 176
const HIGHEST_ROW_MM = 8
/** 9 pt with its line. */
const LOWEST_ROW_MM = 4.4

/** How high a row of the table is, so that the stick beside it is drawn in one piece and the whole stays on one sheet. */
export function rowHeightMm(rows: number): number {
  return Math.round(Math.max(LOWEST_ROW_MM, Math.min(HIGHEST_ROW_MM, TABLE_MM / rows)) * 10) / 10
}
