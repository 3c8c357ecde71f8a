import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const PLOT = 'plot_id text not null references plot (entry_id)'
const CLASS = `class text not null check (class in ('nursery', 'perennials', 'food', 'market', 'late'))`
const WEIGHTS = ['equal_weight', 'area_weight', 'share_weight', 'persons_weight', 'need_weight']

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // The mix of a rule for all water (no weir), or for the water of one weir.
      rule_mix: `${ENTRY}, weir_id text references weir (entry_id),
        ${WEIGHTS.map((weight) => `${weight} real not null check (${weight} >= 0)`).join(', ')},
        area_cap_m2 real check (area_cap_m2 > 0), check (${WEIGHTS.join(' + ')} > 0), unique (entry_id, weir_id)`,
      rule_class: `${ENTRY}, ${CLASS}, place integer not null check (place >= 1),
        minimum_part real check (minimum_part > 0 and minimum_part <= 1), unique (entry_id, class)`,
      rule_protected: `${ENTRY}, ${PLOT}, up_to_stage integer check (up_to_stage >= 0), unique (entry_id, plot_id)`,
      // People who live from a plot, from a day on.
      plot_household: `${OWN_ID}, ${PLOT}, from_on text not null, persons integer not null check (persons >= 0)`,
      // The class of a crop plan where the group has written one; no class takes it back to the usual one.
      plan_class: `${OWN_ID}, plan_id text not null references crop_plan (entry_id), from_on text not null,
        ${CLASS.replace('not null ', '')}`,
      // The rule that the committee picked for one week; the reason is the entry's.
      week_rule: `${OWN_ID}, week_start_on text not null, rule text not null
        check (rule in ('evening-out', 'proportional', 'equal-small-first', 'crop-stage-first'))`,
    })
  })
}
