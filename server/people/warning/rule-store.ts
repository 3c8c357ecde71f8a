import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { ConductRule, LadderStep } from '../../../domain/people/ladder.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewRule extends ConductRule {
  /** By which the group's own rules and all later steps know it. */
  number: string
  conduct: string
  fromOn: CalendarDate
  /** From that day on no rule holds for this conduct. */
  ends: boolean
}

export interface WrittenRule extends NewRule {
  id: string
}

/** It holds once a second officer has put a name under it. */
export async function writeRule(pen: Pen, rule: NewRule, minute: string): Promise<string> {
  const { number, conduct, fromOn, wordsBefore, warningsBefore, lapseDays, fineMinor, finePercent } = rule
  const row = { number, conduct, fromOn, wordsBefore, warningsBefore, lapseDays, fineMinor, finePercent } as const
  const facts = { conductRule: [{ ...row, ends: rule.ends ? 1 : 0 }], ...restingOn(minute), ...NAME_NEEDED }
  return appendEntry(pen, { kind: 'conduct-rule' }, facts)
}

/** The rule of each conduct on a day, by their numbers. */
export async function rulesOn(db: Database, on: CalendarDate): Promise<WrittenRule[]> {
  const rows = await ruleRows(db).where(standing('conductRule')).execute()
  return [...group(rows, ({ number }) => number).values()]
    .flatMap((versions) => inForce(versions, on) ?? [])
    .filter(({ ends }) => ends === 0)
    .map(asRule)
    .toSorted((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true }))
}

/** Rules that wait for their second name. */
export async function waitingRules(db: Database): Promise<WrittenRule[]> {
  return (await ruleRows(db).where(waitsForName('conductRule')).execute()).map(asRule)
}

function ruleRows(db: Database) {
  return db
    .selectFrom('conductRule')
    .innerJoin('entry', 'entry.id', 'conductRule.entryId')
    .selectAll('conductRule')
    .select('entry.seq')
}

function asRule({ entryId, ends, ...row }: Awaited<ReturnType<ReturnType<typeof ruleRows>['execute']>>[number]) {
  return { ...row, id: entryId, ends: ends === 1 }
}

/** By which rule a step was taken. */
export interface StepGround {
  rule: WrittenRule | null
  named: LadderStep
  /** Why another step, sum or day was taken than the rule names. */
  reason: string | null
}

/** The same beside the facts of the step. */
export function groundOf({ rule, named, reason }: StepGround): Pick<Facts, 'ladderStep'> {
  return { ladderStep: [{ ruleId: rule?.id ?? null, named, reason }] }
}

const stepRows = readTogether('names', (db) => db.selectFrom('ladderStep').selectAll())

/** The ground of every step that has one, by the step's id. */
export async function stepGrounds(db: Database): Promise<Map<string, StepGround>> {
  const steps = await stepRows(db)
  if (steps.length === 0) return new Map()
  const rules = new Map((await ruleRows(db).execute()).map((row) => [row.entryId, asRule(row)]))
  return new Map(
    steps.map(({ entryId, ruleId, named, reason }) => [
      entryId,
      { rule: ruleId === null ? null : rules.get(ruleId)!, named, reason },
    ]),
  )
}
