import type { Database } from '../database/connection.ts'
import { appendEntry, type Pen } from '../database/entries.ts'
import { inForce, standing } from '../database/standing.ts'

/** How the water of a week is divided, and who has a claim to it. */
export interface SharingRule {
  entryId: string
  fromOn: string
  equalWeight: number
  areaWeight: number
  shareWeight: number
  /** By request, or for every plot with a crop in the ground. */
  admission: 'request' | 'crop'
}

export async function sharingRules(db: Database): Promise<SharingRule[]> {
  return (await ruleRows(db)).map(ruleOf)
}

/** The rule in force on a day; the group's first rule also holds for the days before it. */
export async function sharingRuleOn(db: Database, on: string): Promise<SharingRule | null> {
  const rows = await ruleRows(db)
  const row = inForce(rows, on) ?? rows[0]
  return row ? ruleOf(row) : null
}

function ruleRows(db: Database) {
  return db
    .selectFrom('sharing_rule')
    .innerJoin('entry', 'entry.id', 'sharing_rule.entry_id')
    .selectAll('sharing_rule')
    .select('entry.seq')
    .where(standing('sharing_rule'))
    .orderBy('from_on')
    .orderBy('entry.seq')
    .execute()
}

function ruleOf(row: Awaited<ReturnType<typeof ruleRows>>[number]): SharingRule {
  return {
    entryId: row.entry_id,
    fromOn: row.from_on,
    equalWeight: row.equal_weight,
    areaWeight: row.area_weight,
    shareWeight: row.share_weight,
    admission: row.admission as SharingRule['admission'],
  }
}

export async function setSharingRule(pen: Pen, rule: Omit<SharingRule, 'entryId'>): Promise<string> {
  const row = {
    from_on: rule.fromOn,
    equal_weight: rule.equalWeight,
    area_weight: rule.areaWeight,
    share_weight: rule.shareWeight,
    admission: rule.admission,
  }
  return appendEntry(pen, { kind: 'sharing-rule' }, { sharing_rule: [row] })
}
