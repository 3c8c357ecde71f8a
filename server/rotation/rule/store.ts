import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { PLOT_CLASSES, type PlotClass } from '../../../domain/people/plot-class.ts'
import { CLASSES_TOGETHER, type ClassPlace, type RuleMix, type WeekRule } from '../../../domain/rotation/rule/types.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** How the water of a week is divided, who has a claim to it, and who comes first: one dated version of the rule. */
export interface SharingRule extends WeekRule {
  entryId: string
  writtenAt: Instant
}

/** What a version must say; everything else has a plain beginning. */
type NewSharingRule = Pick<SharingRule, 'fromOn' | 'admission'> & Partial<WeekRule>

/** The mix of a group that has not weighed anything, and the other terms as a first version may leave them. */
const PLAIN_RULE: Omit<WeekRule, 'fromOn' | 'admission'> = {
  equalWeight: 0,
  areaWeight: 0,
  shareWeight: 0,
  personsWeight: 0,
  needWeight: 0,
  areaCapM2: null,
  byWeir: {},
  classes: CLASSES_TOGETHER,
  declaredOn: null,
  protectedPlots: [],
  sparePart: 0,
  carryOver: { excusedDays: 14, excusedCapPart: 1 },
}

const classRows = readTogether('turns', (db) => db.selectFrom('ruleClass').selectAll())

const protectedRows = readTogether('turns', (db) => db.selectFrom('ruleProtected').selectAll())

/** Every version of the rule, by the day from which it holds. */
export async function sharingRules(db: Database): Promise<SharingRule[]> {
  const rows = await ruleRows(db)
  const mixes = await mixRows(db)
  const classes = await classRows(db)
  const protectedPlots = await protectedRows(db)
  return rows.map((row) => {
    const own = <R extends { entryId: string }>(all: readonly R[]) => all.filter((one) => one.entryId === row.entryId)
    const ownMixes = own(mixes)
    const byWeir = ownMixes.flatMap((mix) => (mix.weirId === null ? [] : [[mix.weirId, mixOf(mix)]]))
    return {
      ...PLAIN_RULE,
      entryId: row.entryId,
      writtenAt: row.writtenAt,
      fromOn: row.fromOn,
      admission: row.admission as SharingRule['admission'],
      ...mixOf(ownMixes.find((mix) => mix.weirId === null)!),
      byWeir: Object.fromEntries(byWeir) as Record<string, RuleMix>,
      classes: classPlaces(own(classes)),
      declaredOn: row.declaredOn,
      protectedPlots: own(protectedPlots).map((one) => ({ plotId: one.plotId, upToStage: one.upToStage })),
      sparePart: row.sparePart,
      carryOver: { excusedDays: row.excusedDays, excusedCapPart: row.excusedCapPart },
    }
  })
}

/** The rule in force on a day; the group's first rule also holds for the days before it. */
export async function sharingRuleOn(db: Database, on: string): Promise<SharingRule | null> {
  const rows = await ruleRows(db)
  const row = inForce(rows, on) ?? rows[0]
  return (await sharingRules(db)).find((rule) => rule.entryId === row?.entryId) ?? null
}

const ruleRows = readTogether('turns', (db) =>
  db
    .selectFrom('sharingRule')
    .innerJoin('entry', 'entry.id', 'sharingRule.entryId')
    .selectAll('sharingRule')
    .select(['entry.seq', 'entry.writtenAt'])
    .where(standing('sharingRule'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

type MixRow = Awaited<ReturnType<typeof mixRows>>[number]

const mixRows = readTogether('turns', (db) => db.selectFrom('ruleMix').selectAll())

function mixOf(row: MixRow): RuleMix {
  return {
    equalWeight: row.equalWeight,
    areaWeight: row.areaWeight,
    shareWeight: row.shareWeight,
    personsWeight: row.personsWeight,
    needWeight: row.needWeight,
    areaCapM2: row.areaCapM2,
  }
}

function classPlaces(rows: readonly { class: string; place: number; minimumPart: number | null }[]): ClassPlace[] {
  return rows
    .map((row) => ({ class: row.class as PlotClass, place: row.place, minimumPart: row.minimumPart }))
    .sort((a, b) => a.place - b.place || PLOT_CLASSES.indexOf(a.class) - PLOT_CLASSES.indexOf(b.class))
}

/** What the form shows to a group that has no rule yet: all by area, every plot with a crop. */
export const FIRST_RULE: WeekRule = { ...PLAIN_RULE, fromOn: '0001-01-01', admission: 'crop', areaWeight: 100 }

/** Writes a version of the rule: one entry with all its rows. */
export async function setSharingRule(pen: Pen, terms: NewSharingRule, more: Facts = {}): Promise<string> {
  const rule: WeekRule = { ...PLAIN_RULE, ...terms }
  return appendEntry(
    pen,
    { kind: 'sharing-rule' },
    {
      sharingRule: [
        {
          fromOn: rule.fromOn,
          admission: rule.admission,
          declaredOn: rule.declaredOn,
          sparePart: rule.sparePart,
          excusedDays: rule.carryOver.excusedDays,
          excusedCapPart: rule.carryOver.excusedCapPart,
        },
      ],
      ruleMix: [mixRow(rule, null), ...Object.entries(rule.byWeir).map(([weirId, mix]) => mixRow(mix, weirId))],
      ruleClass: rule.classes.map((one) => ({ class: one.class, place: one.place, minimumPart: one.minimumPart })),
      ...more,
      ruleProtected: rule.protectedPlots.map((one) => ({ plotId: one.plotId, upToStage: one.upToStage })),
    },
  )
}

function mixRow(mix: RuleMix, weirId: Id<'weir'> | null) {
  return {
    weirId,
    equalWeight: mix.equalWeight,
    areaWeight: mix.areaWeight,
    shareWeight: mix.shareWeight,
    personsWeight: mix.personsWeight,
    needWeight: mix.needWeight,
    areaCapM2: mix.areaCapM2,
  }
}
