import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { PlotClass } from '../../../domain/rotation/rule/types.ts'
import { declaredOn } from '../../../domain/water/drought/declared.ts'
import type { DroughtStage } from '../../../domain/water/drought/stage.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A stage in the group's own words. Caps: what is left of each class's need, 0..1; a class that is not there is not cut. */
export interface NewStage {
  severity: number
  name: string
  words: string
  weirId: string
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
    weir_id: stage.weirId,
    below_level_m: stage.belowLevelM,
    below_cover_days: stage.belowCoverDays,
    end_condition: stage.endCondition,
  }
  const caps = Object.entries(stage.capByClass).map(([use, part]) => ({ use, part }))
  return appendEntry(pen, { kind: 'drought-stage', correctsId, reason }, { drought_stage: [row], drought_cap: caps })
}

/** Every stage ever written, the mildest first. */
async function everyStage(db: Database): Promise<Stage[]> {
  const rows = await db.selectFrom('drought_stage').selectAll().orderBy('severity').execute()
  const standingIds = await db.selectFrom('drought_stage').select('entry_id').where(standing('drought_stage')).execute()
  const isStanding = new Set(standingIds.map((row) => row.entry_id))
  const caps = group(await db.selectFrom('drought_cap').selectAll().execute(), (row) => row.entry_id)
  return rows.map((row) => ({
    id: row.entry_id,
    isStanding: isStanding.has(row.entry_id),
    severity: row.severity,
    name: row.name,
    words: row.words,
    weirId: row.weir_id,
    belowLevelM: row.below_level_m,
    belowCoverDays: row.below_cover_days,
    endCondition: row.end_condition,
    capByClass: Object.fromEntries((caps.get(row.entry_id) ?? []).map(({ use, part }) => [use, part])),
  }))
}

/** The stages as the group words them now. */
export async function listStages(db: Database): Promise<Stage[]> {
  return (await everyStage(db)).filter(({ isStanding }) => isStanding)
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
  writtenAt: string
  /** As it was worded when it was declared. */
  stage: Stage
  lift: { id: string; liftedOn: CalendarDate; reason: string; liftedBy: string } | null
}

interface NewDeclaration {
  stageId: string
  fromOn: CalendarDate
  reason: string
  /** Whether two readings in a row called for it when it was declared. */
  wasProposed: boolean
}

export async function declareStage(
  pen: Pen,
  { stageId, fromOn, reason, wasProposed }: NewDeclaration,
): Promise<string> {
  const row = { stage_id: stageId, from_on: fromOn, reason, was_proposed: wasProposed ? 1 : 0 }
  return appendEntry(pen, { kind: 'drought-declaration' }, { drought_declaration: [row] })
}

export async function liftDeclaration(
  pen: Pen,
  { declarationId, liftedOn, reason }: { declarationId: string; liftedOn: CalendarDate; reason: string },
): Promise<string> {
  const row = { declaration_id: declarationId, lifted_on: liftedOn, reason }
  return appendEntry(pen, { kind: 'drought-lift' }, { drought_lift: [row] })
}

/** Every declaration that stands, newest first. */
export async function listDeclarations(db: Database): Promise<Declaration[]> {
  const stages = new Map((await everyStage(db)).map((stage) => [stage.id, stage]))
  const rows = await db
    .selectFrom('drought_declaration')
    .innerJoin('entry', 'entry.id', 'drought_declaration.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('drought_declaration')
    .select(['entry.seq', 'entry.written_at', 'person.name'])
    .where(standing('drought_declaration'))
    .orderBy('from_on', 'desc')
    .orderBy('entry.seq', 'desc')
    .execute()
  const lifts = await db
    .selectFrom('drought_lift')
    .innerJoin('entry', 'entry.id', 'drought_lift.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('drought_lift')
    .select('person.name')
    .where(standing('drought_lift'))
    .execute()
  return rows.map((row) => {
    const lift = lifts.find((one) => one.declaration_id === row.entry_id)
    return {
      id: row.entry_id,
      seq: row.seq,
      fromOn: row.from_on,
      reason: row.reason,
      wasProposed: row.was_proposed === 1,
      declaredBy: row.name,
      writtenAt: row.written_at,
      stage: stages.get(row.stage_id)!,
      lift: lift ? { id: lift.entry_id, liftedOn: lift.lifted_on, reason: lift.reason, liftedBy: lift.name } : null,
    }
  })
}

/** The declaration in force on a day. */
export function inForceOn(declarations: readonly Declaration[], on: CalendarDate): Declaration | null {
  const lifts = declarations.flatMap(({ id, lift }) => (lift ? [{ declarationId: id, liftedOn: lift.liftedOn }] : []))
  return declaredOn({ declarations, lifts, on })
}

interface DeclaredStage {
  declarationId: string
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
