import { group } from 'd3-array'
import type { RawBuilder } from 'kysely'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { PlotClass } from '../../../domain/people/plot-class.ts'
import { declaredOn } from '../../../domain/water/drought/declared.ts'
import type { DroughtStage } from '../../../domain/water/drought/stage.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A stage in the group's own words. Caps: what is left of each class's need, 0..1; a class that is not there is not cut. */
export interface NewStage {
  severity: number
  name: string
  words: string
  weirId: Id<'weir'>
  belowLevelM: number | null
  belowCoverDays: number | null
  endCondition: string
  capByClass: Partial<Record<PlotClass, number>>
}

export interface Stage extends NewStage {
  id: string
  isStanding: boolean
}

/** With `correctsId` and a reason it takes the place of an earlier wording, which stays for what was declared under it. */
export async function addStage(
  pen: Pen,
  stage: NewStage,
  { correctsId = null, reason = null }: { correctsId?: string | null; reason?: string | null } = {},
): Promise<string> {
  const row = {
    severity: stage.severity,
    name: stage.name,
    words: stage.words,
    weirId: stage.weirId,
    belowLevelM: stage.belowLevelM,
    belowCoverDays: stage.belowCoverDays,
    endCondition: stage.endCondition,
  }
  const caps = Object.entries(stage.capByClass).map(([use, part]) => ({ use, part }))
  return appendEntry(pen, { kind: 'drought-stage', correctsId, reason }, { droughtStage: [row], droughtCap: caps })
}

const stageRows = readTogether('water', (db) => db.selectFrom('droughtStage').selectAll().orderBy('severity'))

const standingStages = readTogether('water', (db) =>
  db.selectFrom('droughtStage').select('entryId').where(standing('droughtStage')),
)

const capRows = readTogether('water', (db) => db.selectFrom('droughtCap').selectAll())

/** Every stage ever written, the mildest first. */
async function everyStage(db: Database): Promise<Stage[]> {
  const rows = await stageRows(db)
  const standingIds = await standingStages(db)
  const isStanding = new Set(standingIds.map((row) => row.entryId))
  const caps = group(await capRows(db), (row) => row.entryId)
  return rows.map((row) => ({
    id: row.entryId,
    isStanding: isStanding.has(row.entryId),
    severity: row.severity,
    name: row.name,
    words: row.words,
    weirId: row.weirId,
    belowLevelM: row.belowLevelM,
    belowCoverDays: row.belowCoverDays,
    endCondition: row.endCondition,
    capByClass: Object.fromEntries((caps.get(row.entryId) ?? []).map(({ use, part }) => [use, part])),
  }))
}

/** The stages as the group words them now. */
export async function listStages(db: Database): Promise<Stage[]> {
  return (await everyStage(db)).filter(({ isStanding }) => isStanding)
}

/** Who worded a stage anew, when and why, by the stage that stands. */
export async function changesOfStages(db: Database) {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.reason', 'entry.writtenAt', 'writer.name as writer'])
    .where('entry.kind', '=', 'drought-stage')
    .where('entry.correctsId', 'is not', null)
    .execute()
  return new Map(rows.map((row) => [row.id, row]))
}

/** A stage as the domain compares it with readings. */
export function markOf({ id, severity, weirId, belowLevelM, belowCoverDays }: Stage): DroughtStage {
  const trigger =
    belowLevelM !== null ? { weirId, belowLevelM } : { weirId, belowCoverDays: belowCoverDays ?? Number.NaN }
  return { stageId: id, severity, trigger }
}

export interface Declaration {
  id: string
  seq: number
  fromOn: CalendarDate
  reason: string
  wasProposed: boolean
  declaredBy: string
  writtenAt: Instant
  /** As it was worded when it was declared. */
  stage: Stage
  lift: Lift | null
  /** A lifting that waits for its second name. */
  liftAsked: Lift | null
}

interface Lift {
  id: string
  liftedOn: CalendarDate
  reason: string
  liftedBy: string
  writtenAt: Instant
}

interface NewDeclaration {
  stageId: Id<'stage'>
  fromOn: CalendarDate
  reason: string
  /** Whether two readings in a row called for it when it was declared. */
  wasProposed: boolean
}

export async function declareStage(
  pen: Pen,
  { stageId, fromOn, reason, wasProposed }: NewDeclaration,
  minute: string | null = null,
): Promise<string> {
  const row = { stageId, fromOn, reason, wasProposed: wasProposed ? 1 : 0 }
  const facts = { droughtDeclaration: [row], ...restingOn(minute), ...NAME_NEEDED }
  return appendEntry(pen, { kind: 'drought-declaration' }, facts)
}

export async function liftDeclaration(
  pen: Pen,
  { declarationId, liftedOn, reason }: { declarationId: Id<'declaration'>; liftedOn: CalendarDate; reason: string },
): Promise<string> {
  const row = { declarationId, liftedOn, reason }
  return appendEntry(pen, { kind: 'drought-lift' }, { droughtLift: [row], ...NAME_NEEDED })
}

/** Every declaration that stands, newest first. */
export async function listDeclarations(db: Database): Promise<Declaration[]> {
  return declarationsOf(db, await standingDeclarations(db))
}

/** Those that wait for their second name and do not hold. */
export async function waitingDeclarations(db: Database): Promise<Declaration[]> {
  return declarationsOf(db, await declarationRows(db, waitsForName('droughtDeclaration')).execute())
}

type DeclarationRow = Awaited<ReturnType<typeof standingDeclarations>>[number]

function declarationRows(db: Database, counts: RawBuilder<boolean>) {
  return db
    .selectFrom('droughtDeclaration')
    .innerJoin('entry', 'entry.id', 'droughtDeclaration.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('droughtDeclaration')
    .select(['entry.seq', 'entry.writtenAt', 'person.name'])
    .where(counts)
    .orderBy('fromOn', 'desc')
    .orderBy(asWritten, 'desc')
}

const standingDeclarations = readTogether('water', (db) => declarationRows(db, standing('droughtDeclaration')))

async function declarationsOf(db: Database, rows: readonly DeclarationRow[]): Promise<Declaration[]> {
  const stages = new Map((await everyStage(db)).map((stage) => [stage.id, stage]))
  const lifts = byDeclaration(await standingLifts(db))
  const asked = byDeclaration(await waitingLifts(db))
  return rows.map((row) => {
    return {
      id: row.entryId,
      seq: row.seq,
      fromOn: row.fromOn,
      reason: row.reason,
      wasProposed: row.wasProposed === 1,
      declaredBy: row.name,
      writtenAt: row.writtenAt,
      stage: stages.get(row.stageId)!,
      lift: lifts.get(row.entryId) ?? null,
      liftAsked: asked.get(row.entryId) ?? null,
    }
  })
}

function liftRows(db: Database, counts: RawBuilder<boolean>) {
  return db
    .selectFrom('droughtLift')
    .innerJoin('entry', 'entry.id', 'droughtLift.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['declarationId', 'entry.id', 'liftedOn', 'droughtLift.reason', 'person.name as liftedBy', 'writtenAt'])
    .where(counts)
    .orderBy(asWritten, 'desc')
}

const standingLifts = readTogether('water', (db) => liftRows(db, standing('droughtLift')))
const waitingLifts = readTogether('water', (db) => liftRows(db, waitsForName('droughtLift')))

function byDeclaration(rows: Awaited<ReturnType<typeof standingLifts>>): Map<string, Lift> {
  return new Map(rows.map(({ declarationId, ...lift }) => [declarationId, lift]))
}

/** The declaration in force on a day. */
export function inForceOn(declarations: readonly Declaration[], on: CalendarDate): Declaration | null {
  const lifts = declarations.flatMap(({ id, lift }) => (lift ? [{ declarationId: id, liftedOn: lift.liftedOn }] : []))
  return declaredOn({ declarations, lifts, on })
}

interface DeclaredStage {
  declarationId: Id<'declaration'>
  /** 1 is the mildest. */
  stage: number
  name: string
  fromOn: CalendarDate
  reason: string
  declaredBy: string
  endCondition: string
  capByClass: Partial<Record<PlotClass, number>>
}

/** The stage that people have declared and not lifted, with what it leaves of each class's need; null for none. */
export async function declaredStage(db: Database, on: CalendarDate): Promise<DeclaredStage | null> {
  const found = inForceOn(await listDeclarations(db), on)
  if (!found) return null
  const { id, fromOn, reason, declaredBy, stage } = found
  const { severity, name, endCondition, capByClass } = stage
  return { declarationId: id, stage: severity, name, fromOn, reason, declaredBy, endCondition, capByClass }
}
