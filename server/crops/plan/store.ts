import type { Crop } from '../../../domain/crops/data/crops.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { cropBook } from '../crop/store.ts'

export const OUTCOMES = ['harvested', 'lost'] as const
type Outcome = (typeof OUTCOMES)[number]

/** One crop on one piece of a plot. */
export interface PlannedCrop {
  id: string
  plotId: string
  cropKey: string
  areaM2: number
  sownOn: string
  /** Last day in the ground; null while nobody wrote that it was cleared. */
  endedOn: string | null
  outcome: Outcome | null
  /** The crop as it was described on the day of sowing; null where the book no longer knows it. */
  crop: Crop | null
  /** Whether it was declared with the first tranche or with the second; null where nobody said. */
  tranche: Tranche | null
}

type Tranche = 1 | 2

export type NewCropPlan = Pick<PlannedCrop, 'plotId' | 'cropKey' | 'areaM2' | 'sownOn'> & { tranche?: Tranche | null }

export async function addCropPlan(pen: Pen, plan: NewCropPlan): Promise<string> {
  return appendEntry(pen, { kind: 'crop-plan' }, factsOf(plan))
}

/** Writes a plan anew in place of one that was written wrong; without a plan the wrong one is struck out. */
export async function correctCropPlan(
  pen: Pen,
  { planId, plan, reason }: { planId: string; plan: NewCropPlan | null; reason: string },
): Promise<string> {
  const facts = plan ? factsOf(plan) : {}
  return appendEntry(pen, { kind: 'crop-plan', correctsId: planId, reason }, facts)
}

/** The plans that stood before this one was corrected, last first, with the reason of each correction. */
export async function earlierPlans(db: Database, planId: string): Promise<(NewCropPlan & { reason: string })[]> {
  const found: (NewCropPlan & { reason: string })[] = []
  for (let id: string | null = planId; id !== null; ) {
    const row = await db
      .selectFrom('entry')
      .innerJoin('crop_plan', 'crop_plan.entry_id', 'entry.corrects_id')
      .selectAll('crop_plan')
      .select('entry.reason')
      .where('entry.id', '=', id)
      .executeTakeFirst()
    if (row) {
      const { plot_id: plotId, crop_key: cropKey, area_m2: areaM2, sown_on: sownOn } = row
      found.push({ plotId, cropKey, areaM2, sownOn, reason: row.reason ?? '' })
    }
    id = row?.entry_id ?? null
  }
  return found
}

function factsOf({ plotId, cropKey, areaM2, sownOn, tranche }: NewCropPlan): Facts {
  const crop_plan = [{ plot_id: plotId, crop_key: cropKey, area_m2: areaM2, sown_on: sownOn }]
  return tranche ? { crop_plan, crop_tranche: [{ tranche }] } : { crop_plan }
}

interface NewCropEnd {
  planId: string
  endedOn: string
  outcome: Outcome
}

/** Writes that a crop was cleared; an earlier ending of the same crop is corrected by it, with a reason. */
export async function endCropPlan(
  pen: Pen,
  end: NewCropEnd,
  { reason }: { reason?: string | undefined } = {},
): Promise<string> {
  const earlier = await pen.trx
    .selectFrom('crop_end')
    .select('entry_id')
    .where('plan_id', '=', end.planId)
    .where(standing('crop_end'))
    .executeTakeFirst()
  const correction = earlier ? { correctsId: earlier.entry_id, reason } : {}
  const row = { plan_id: end.planId, ended_on: end.endedOn, outcome: end.outcome }
  return appendEntry(pen, { kind: 'crop-end', ...correction }, { crop_end: [row] })
}

/** Every crop plan that stands in the book, those of past seasons too, by the day of sowing. */
export async function cropPlans(db: Database): Promise<PlannedCrop[]> {
  const plans = await db
    .selectFrom('crop_plan')
    .innerJoin('entry', 'entry.id', 'crop_plan.entry_id')
    .leftJoin('crop_tranche', 'crop_tranche.entry_id', 'crop_plan.entry_id')
    .selectAll('crop_plan')
    .select('crop_tranche.tranche')
    .where(standing('crop_plan'))
    .orderBy('sown_on')
    .orderBy('entry.seq')
    .execute()
  const ends = await db.selectFrom('crop_end').selectAll().where(standing('crop_end')).execute()
  const crops = await cropBook(db)
  const endOf = new Map(ends.map((end) => [end.plan_id, end]))
  return plans.map((row) => ({
    id: row.entry_id,
    plotId: row.plot_id,
    cropKey: row.crop_key,
    areaM2: row.area_m2,
    sownOn: row.sown_on,
    endedOn: endOf.get(row.entry_id)?.ended_on ?? null,
    outcome: (endOf.get(row.entry_id)?.outcome as Outcome | undefined) ?? null,
    tranche: row.tranche as Tranche | null,
    crop: crops.of({ cropKey: row.crop_key, sownOn: row.sown_on }),
  }))
}
