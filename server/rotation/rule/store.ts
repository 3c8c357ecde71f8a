import {
  CLASSES_TOGETHER,
  type ClassPlace,
  PLOT_CLASSES,
  type PlotClass,
  type RuleMix,
  type WeekRule,
} from '../../../domain/rotation/rule/types.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** How the water of a week is divided, who has a claim to it, and who comes first: one dated version of the rule. */
export interface SharingRule extends WeekRule {
  entryId: string
  writtenAt: string
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

/** Every version of the rule, by the day from which it holds. */
export async function sharingRules(db: Database): Promise<SharingRule[]> {
  const rows = await ruleRows(db)
  const mixes = await mixRows(db)
  const classes = await db.selectFrom('rule_class').selectAll().execute()
  const protectedRows = await db.selectFrom('rule_protected').selectAll().execute()
  return rows.map((row) => {
    const own = <R extends { entry_id: string }>(all: readonly R[]) =>
      all.filter((one) => one.entry_id === row.entry_id)
    const ownMixes = own(mixes)
    const byWeir = ownMixes.flatMap((mix) => (mix.weir_id === null ? [] : [[mix.weir_id, mixOf(mix)]]))
    return {
      ...PLAIN_RULE,
      entryId: row.entry_id,
      writtenAt: row.written_at,
      fromOn: row.from_on,
      admission: row.admission as SharingRule['admission'],
      ...mixOf(ownMixes.find((mix) => mix.weir_id === null)!),
      byWeir: Object.fromEntries(byWeir) as Record<string, RuleMix>,
      classes: classPlaces(own(classes)),
      declaredOn: row.declared_on,
      protectedPlots: own(protectedRows).map((one) => ({ plotId: one.plot_id, upToStage: one.up_to_stage })),
      sparePart: row.spare_part,
      carryOver: { excusedDays: row.excused_days, excusedCapPart: row.excused_cap_part },
    }
  })
}

/** The rule in force on a day; the group's first rule also holds for the days before it. */
export async function sharingRuleOn(db: Database, on: string): Promise<SharingRule | null> {
  const rows = await ruleRows(db)
  const row = inForce(rows, on) ?? rows[0]
  return (await sharingRules(db)).find((rule) => rule.entryId === row?.entry_id) ?? null
}

function ruleRows(db: Database) {
  return db
    .selectFrom('sharing_rule')
    .innerJoin('entry', 'entry.id', 'sharing_rule.entry_id')
    .selectAll('sharing_rule')
    .select(['entry.seq', 'entry.written_at'])
    .where(standing('sharing_rule'))
    .orderBy('from_on')
    .orderBy('entry.seq')
    .execute()
}

type MixRow = Awaited<ReturnType<typeof mixRows>>[number]

function mixRows(db: Database) {
  return db.selectFrom('rule_mix').selectAll().execute()
}

function mixOf(row: MixRow): RuleMix {
  return {
    equalWeight: row.equal_weight,
    areaWeight: row.area_weight,
    shareWeight: row.share_weight,
    personsWeight: row.persons_weight,
    needWeight: row.need_weight,
    areaCapM2: row.area_cap_m2,
  }
}

function classPlaces(rows: readonly { class: string; place: number; minimum_part: number | null }[]): ClassPlace[] {
  return rows
    .map((row) => ({ class: row.class as PlotClass, place: row.place, minimumPart: row.minimum_part }))
    .sort((a, b) => a.place - b.place || PLOT_CLASSES.indexOf(a.class) - PLOT_CLASSES.indexOf(b.class))
}

/** What the form shows to a group that has no rule yet: all by area, every plot with a crop. */
export const FIRST_RULE: WeekRule = { ...PLAIN_RULE, fromOn: '0001-01-01', admission: 'crop', areaWeight: 100 }

/** Writes a version of the rule: one entry with all its rows. */
export async function setSharingRule(pen: Pen, terms: NewSharingRule): Promise<string> {
  const rule: WeekRule = { ...PLAIN_RULE, ...terms }
  return appendEntry(
    pen,
    { kind: 'sharing-rule' },
    {
      sharing_rule: [
        {
          from_on: rule.fromOn,
          admission: rule.admission,
          declared_on: rule.declaredOn,
          spare_part: rule.sparePart,
          excused_days: rule.carryOver.excusedDays,
          excused_cap_part: rule.carryOver.excusedCapPart,
        },
      ],
      rule_mix: [mixRow(rule, null), ...Object.entries(rule.byWeir).map(([weirId, mix]) => mixRow(mix, weirId))],
      rule_class: rule.classes.map((one) => ({ class: one.class, place: one.place, minimum_part: one.minimumPart })),
      rule_protected: rule.protectedPlots.map((one) => ({ plot_id: one.plotId, up_to_stage: one.upToStage })),
    },
  )
}

function mixRow(mix: RuleMix, weirId: string | null) {
  return {
    weir_id: weirId,
    equal_weight: mix.equalWeight,
    area_weight: mix.areaWeight,
    share_weight: mix.shareWeight,
    persons_weight: mix.personsWeight,
    need_weight: mix.needWeight,
    area_cap_m2: mix.areaCapM2,
  }
}
