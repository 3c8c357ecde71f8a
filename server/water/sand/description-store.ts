import { group } from 'd3-array'
import type { Selectable } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Sediment } from '../../../domain/water/data/specific-yield.ts'
import type { UnmeasuredSand } from '../../../domain/water/sand/unmeasured.ts'
import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { deepestBedM, type SurveyMeasures, type TapeMeasures, type WeirSurvey } from './description.ts'
import { listSandLosses, type SandLoss } from './loss-store.ts'
import { listProbedSurveys, type ProbedSurvey } from './survey-store.ts'
import { isAccepted, listTables, type WrittenTable } from './table-store.ts'

const surveyRows = readTogether('water', (db) =>
  db
    .selectFrom('weirSurvey')
    .innerJoin('entry', 'entry.id', 'weirSurvey.entryId')
    .selectAll('weirSurvey')
    .select('entry.seq')
    .where(standing('weirSurvey')),
)

/** Every dated description, of one weir or of all, oldest first; on the same day the later written comes last. */
export async function listSurveys(db: Database, weirId?: Id<'weir'>): Promise<WeirSurvey[]> {
  const isOf = (row: { weirId: Id<'weir'> }) => weirId === undefined || row.weirId === weirId
  const rows = (await surveyRows(db)).filter(isOf)
  const probed = await listProbedSurveys(db, weirId)
  const unmeasured = await unmeasuredOf(
    db,
    [...rows, ...probed].map(({ entryId }) => entryId),
  )
  const tables = (await listTables(db, weirId)).filter(isAccepted)
  const changes: Change[] = [
    ...rows
      .map((row) => surveyOf(row, unmeasured.get(row.entryId) ?? []))
      .map((survey) => changeOf(survey, () => survey)),
    ...probed
      .map((survey) => probedSurveyOf(survey, unmeasured.get(survey.entryId) ?? []))
      .map((survey) => changeOf(survey, () => survey)),
    ...tables.map((table) => changeOf(table, (last) => withTable(last, table))),
    ...(await listSandLosses(db, weirId)).map((loss) => changeOf(loss, (last) => last && withLoss(last, loss))),
  ]
  const found: WeirSurvey[] = []
  for (const change of changes.toSorted((a, b) =>
    a.fromOn < b.fromOn ? -1 : a.fromOn > b.fromOn ? 1 : a.seq - b.seq,
  )) {
    const next = change.apply(found.findLast((one) => one.weirId === change.weirId) ?? null)
    if (next) found.push(next)
  }
  return found
}

const unmeasuredRows = readTogether('water', (db) => db.selectFrom('unmeasured').selectAll().orderBy('figure'))

/** What nobody knew of each description. */
async function unmeasuredOf(db: Database, entryIds: readonly string[]): Promise<Map<string, UnmeasuredSand[]>> {
  const own = new Set(entryIds)
  const rows = (await unmeasuredRows(db)).filter(({ entryId }) => own.has(entryId))
  return new Map([...group(rows, ({ entryId }) => entryId)].map(([id, own]) => [id, own.map(figureOf)]))
}

function figureOf({ figure }: { figure: string }): UnmeasuredSand {
  return figure as UnmeasuredSand
}

interface Dated {
  seq: number
  weirId: Id<'weir'>
  fromOn: CalendarDate
}

interface Change extends Dated {
  /** The description after the change; null where it does not hold, as a table made for an older survey. */
  apply: (last: WeirSurvey | null) => WeirSurvey | null
}

function changeOf({ seq, weirId, fromOn }: Dated, apply: Change['apply']): Change {
  return { seq, weirId, fromOn, apply }
}

function withTable(last: WeirSurvey | null, table: WrittenTable): WeirSurvey | null {
  if (!last || last.surveyId !== table.surveyId) return null
  const described = { ...last, ...headOf({ ...table, entryId: table.id }), change: 'table' as const, table }
  const { lossCmPerDay, fromOn } = table
  return lossCmPerDay === null ? described : { ...described, lossCmPerDay, lossSettledOn: fromOn }
}

function withLoss(last: WeirSurvey, loss: SandLoss): WeirSurvey {
  const { lossCmPerDay, fromOn } = loss
  return { ...last, ...headOf(loss), change: 'loss', lossCmPerDay, lossSettledOn: fromOn }
}

function headOf({ entryId, seq, weirId, fromOn }: Dated & { entryId: string }) {
  return { entryId, seq, weirId, fromOn }
}

/** The survey in force on a day, by weir; a weir whose sand was described only later is not there. */
export async function surveysOn(db: Database, on: string): Promise<Map<string, WeirSurvey>> {
  const found = new Map<string, WeirSurvey>()
  for (const survey of await listSurveys(db)) if (survey.fromOn <= on) found.set(survey.weirId, survey)
  return found
}

/** Of the surveys of one weir, the one in force on a day. */
export function surveyInForce(surveys: readonly WeirSurvey[], weirId: Id<'weir'>, on: string): WeirSurvey | null {
  const own = surveys.filter((survey) => survey.weirId === weirId)
  return (
    inForce(
      own.map((survey) => ({ ...survey, fromOn: survey.fromOn })),
      on,
    ) ?? null
  )
}

interface NewSurvey extends SurveyMeasures {
  weirId: Id<'weir'>
  fromOn: CalendarDate
}

interface NewWeir extends Omit<NewSurvey, 'weirId'> {
  number: number
  name: string
  distanceM: number
}

/** Writes in a weir with the first description of its sand; gives back the weir's id. */
export async function addWeir(pen: Pen, weir: NewWeir): Promise<string> {
  const id = freshId(pen)
  const { number, name, distanceM } = weir
  await appendEntry(pen, { kind: 'weir' }, { weir: [{ number, name, distanceM }] }, id)
  await addSurvey(pen, { ...weir, weirId: id })
  return id
}

export async function addSurvey(pen: Pen, survey: NewSurvey): Promise<string> {
  const row = {
    weirId: survey.weirId,
    fromOn: survey.fromOn,
    crestLevelM: survey.crestLevelM,
    crestHeightM: survey.crestHeightM,
    crestWidthM: survey.crestWidthM,
    bedSlope: survey.bedSlope,
    valleyShape: survey.valleyShape,
    sandType: survey.sandType,
    offTakeAboveBedM: survey.offTakeAboveBedM,
    markAboveCrestM: survey.markAboveCrestM,
    lossCmPerDay: survey.lossCmPerDay,
  }
  const unmeasured = (survey.unmeasured ?? []).map((figure) => ({ figure }))
  return appendEntry(pen, { kind: 'weir-survey' }, { weirSurvey: [row], unmeasured })
}

function surveyOf(
  row: Selectable<FactTables['weirSurvey']> & { seq: number },
  unmeasured: readonly UnmeasuredSand[],
): WeirSurvey {
  return {
    unmeasured,
    ...firstHead({ entryId: row.entryId, seq: row.seq, weirId: row.weirId, fromOn: row.fromOn }),
    crestLevelM: row.crestLevelM,
    crestHeightM: row.crestHeightM,
    offTakeAboveBedM: row.offTakeAboveBedM,
    markAboveCrestM: row.markAboveCrestM,
    lossCmPerDay: row.lossCmPerDay,
    tape: {
      crestWidthM: row.crestWidthM,
      bedSlope: row.bedSlope,
      valleyShape: row.valleyShape as TapeMeasures['valleyShape'],
      sandType: row.sandType as Sediment,
    },
    probed: null,
  }
}

function probedSurveyOf(survey: ProbedSurvey, unmeasured: readonly UnmeasuredSand[]): WeirSurvey {
  const { crestLevelM, offTakeAboveBedM, markAboveCrestM, lossCmPerDay, sections, tailChainageM, layers } = survey
  return {
    ...firstHead(survey),
    crestLevelM,
    unmeasured,
    crestHeightM: crestLevelM - deepestBedM(sections),
    offTakeAboveBedM,
    markAboveCrestM,
    lossCmPerDay,
    tape: null,
    probed: { sections, tailChainageM, layers },
  }
}

function firstHead(head: Dated & { entryId: string }) {
  const { entryId: surveyId, fromOn: surveyedOn } = head
  return { ...headOf(head), change: 'survey' as const, surveyId, surveyedOn, lossSettledOn: surveyedOn, table: null }
}
