import { group } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { coveredCurve } from '../../../domain/crops/crop/ground-cover.ts'
import { type Mulch, mulchedCurve } from '../../../domain/crops/crop/mulch.ts'
import { stageOn } from '../../../domain/crops/crop/stages.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import type { CropPlan } from '../../../domain/crops/plan.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots } from '../../people/plot/store.ts'
import { cropBook } from '../crop/store.ts'
import { planCovers, type SeenCover } from './cover-store.ts'

export const OUTCOMES = ['harvested', 'lost'] as const
type Outcome = (typeof OUTCOMES)[number]

/** One crop on one piece of a plot. */
export interface PlannedCrop {
  id: string
  plotId: Id<'plot'>
  cropKey: string
  areaM2: number
  sownOn: CalendarDate
  /** Last day in the ground; null while nobody wrote that it was cleared. */
  endedOn: CalendarDate | null
  /** The eve of the sowing that took its ground, where nobody wrote that it was cleared. */
  makesWayOn: CalendarDate | null
  outcome: Outcome | null
  /** The crop as it was described on the day of sowing; null where the book no longer knows it. */
  crop: Crop | null
  /** What young trees shade; null where nobody said, and for all that is sown. */
  cover: SeenCover | null
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
  { planId, plan, reason }: { planId: Id<'plan'>; plan: NewCropPlan | null; reason: string },
): Promise<string> {
  const facts = plan ? factsOf(plan) : {}
  return appendEntry(pen, { kind: 'crop-plan', correctsId: planId, reason }, facts)
}

/** The plans that stood before this one was corrected, last first, with the reason of each correction. */
export async function earlierPlans(db: Database, planId: Id<'plan'>): Promise<(NewCropPlan & { reason: string })[]> {
  const found: (NewCropPlan & { reason: string })[] = []
  for (let id: string | null = planId; id !== null; ) {
    const row = await db
      .selectFrom('entry')
      .innerJoin('cropPlan', 'cropPlan.entryId', 'entry.correctsId')
      .selectAll('cropPlan')
      .select('entry.reason')
      .where('entry.id', '=', id)
      .executeTakeFirst()
    if (row) {
      const { plotId, cropKey, areaM2, sownOn } = row
      found.push({ plotId, cropKey, areaM2, sownOn, reason: row.reason ?? '' })
    }
    id = row?.entryId ?? null
  }
  return found
}

function factsOf({ plotId, cropKey, areaM2, sownOn, tranche }: NewCropPlan): Facts {
  const cropPlan = [{ plotId, cropKey, areaM2, sownOn }]
  return tranche ? { cropPlan, cropTranche: [{ tranche }] } : { cropPlan }
}

interface NewCropEnd {
  planId: Id<'plan'>
  endedOn: CalendarDate
  outcome: Outcome
}

/** Writes that a crop was cleared; an earlier ending of the same crop is corrected by it, with a reason. */
export async function endCropPlan(
  pen: Pen,
  end: NewCropEnd,
  { reason }: { reason?: string | undefined } = {},
): Promise<string> {
  const earlier = await pen.trx
    .selectFrom('cropEnd')
    .select('entryId')
    .where('planId', '=', end.planId)
    .where(standing('cropEnd'))
    .executeTakeFirst()
  const correction = earlier ? { correctsId: earlier.entryId, reason } : {}
  const row = { planId: end.planId, endedOn: end.endedOn, outcome: end.outcome }
  return appendEntry(pen, { kind: 'crop-end', ...correction }, { cropEnd: [row] })
}

/** Every crop plan that stands in the book, those of past seasons too, by the day of sowing. */
export function cropPlans(db: Database): Promise<readonly PlannedCrop[]> {
  return kept(db, 'crop plans', null, () => readCropPlans(db))
}

const planRows = readTogether('crops', (db) =>
  db
    .selectFrom('cropPlan')
    .innerJoin('entry', 'entry.id', 'cropPlan.entryId')
    .leftJoin('cropTranche', 'cropTranche.entryId', 'cropPlan.entryId')
    .selectAll('cropPlan')
    .select('cropTranche.tranche')
    .where(standing('cropPlan'))
    .orderBy('sownOn')
    .orderBy(asWritten),
)

const endRows = readTogether('crops', (db) => db.selectFrom('cropEnd').selectAll().where(standing('cropEnd')))

async function readCropPlans(db: Database): Promise<PlannedCrop[]> {
  const plans = await planRows(db)
  const ends = await endRows(db)
  const crops = await cropBook(db)
  const covers = await planCovers(db)
  const endOf = new Map(ends.map((end) => [end.planId, end]))
  const sown = plans.map((row) => ({
    id: row.entryId,
    plotId: row.plotId,
    cropKey: row.cropKey,
    areaM2: row.areaM2,
    sownOn: row.sownOn,
    endedOn: endOf.get(row.entryId)?.endedOn ?? null,
    outcome: (endOf.get(row.entryId)?.outcome as Outcome | undefined) ?? null,
    tranche: row.tranche as Tranche | null,
    cover: covers.get(row.entryId) ?? null,
    crop: crops.of({ cropKey: row.cropKey, sownOn: row.sownOn }),
  }))
  const makesWayOn = await makingWay(db, sown)
  return sown.map((plan) => ({ ...plan, makesWayOn: makesWayOn.get(plan.id) ?? null }))
}

type Sown = Omit<PlannedCrop, 'makesWayOn'>

/**
 * The last day in the ground of each crop whose harvest nobody wrote and whose ground was sown anew: in its last stage, and
 * with more than the plot has beside it. Else the old crop would take half of the new one's water. Own choice, no source.
 */
async function makingWay(db: Database, plans: readonly Sown[]): Promise<Map<string, CalendarDate>> {
  const found = new Map<string, CalendarDate>()
  const ofPlot = group(plans, ({ plotId }) => plotId)
  for (const later of plans) {
    const beside = ofPlot.get(later.plotId)!
    const ripe = beside.filter((plan) => !found.has(plan.id) && isRipe(plan, later.sownOn))
    if (ripe.length === 0) continue
    const plot = (await listPlots(db, later.sownOn)).find(({ id }) => id === later.plotId)
    for (const plan of ripe)
      if (plot && plan.areaM2 + later.areaM2 > plot.areaM2) found.set(plan.id, addDays(later.sownOn, -1))
  }
  return found
}

function isRipe({ crop, sownOn, endedOn }: Sown, on: CalendarDate): boolean {
  if (endedOn !== null || !crop?.stageDays || crop.perennial || sownOn >= on) return false
  return stageOn({ stageDays: crop.stageDays, plantedOn: sownOn }, on)?.stage === 'late-season'
}

/** True while the crop is in the ground on one of the days of a week and has not come to the end of its last stage. */
export function standsInWeek(plan: PlannedCrop, dates: readonly CalendarDate[]): boolean {
  if (!plan.crop?.stageDays) return false
  const { crop: rooted, ...season } = domainPlan(plan)
  return dates.some((date) => stageOn({ ...season, stageDays: rooted.stageDays }, date) !== null)
}

/** The plan as the domain takes it. A crop that stands for years begins its stages again. */
export function domainPlan(
  plan: PlannedCrop,
  local?: { kcIniByWetting: number | null; mulch: Mulch | null },
): CropPlan {
  const { crop } = plan
  const stageDays = crop?.stageDays
  if (!stageDays) throw new RangeError(`crop '${plan.cropKey}' cannot be planned`)
  const { kcIniByWetting = null, mulch = null } = local ?? {}
  const covered = coveredCurve({ ...crop, stageDays }, plan.cover)
  const { areaM2, sownOn: plantedOn } = plan
  const harvestedOn = plan.endedOn ?? plan.makesWayOn
  const base = { crop: mulchedCurve(covered, mulch), areaM2, plantedOn, harvestedOn, repeats: crop.perennial }
  if (kcIniByWetting === null) return base
  return { ...base, kcIniByWetting: mulchedCurve({ ...covered, kcIni: kcIniByWetting }, mulch).kcIni }
}
