import { group } from 'd3-array'
import { type Sediment, specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import type { CrossSection, SandLayer } from '../../../domain/water/sand/body.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface SandLayerKind {
  /** Down from the sand surface; null for the last, which reaches the bed. */
  toDepthM: number | null
  sandType: Sediment
}

/** The sand of a weir as it was probed: lines across the stream, from the wall up. */
export interface ProbedSand {
  sections: CrossSection[]
  tailChainageM: number | null
  layers: SandLayerKind[]
}

export interface NewProbedSurvey extends ProbedSand {
  weirId: string
  fromOn: string
  crestLevelM: number
  offTakeAboveBedM: number
  markAboveCrestM: number
  lossCmPerDay: number | null
}

export interface ProbedSurvey extends NewProbedSurvey {
  entryId: string
  seq: number
}

export async function addProbedSurvey(pen: Pen, survey: NewProbedSurvey): Promise<string> {
  const row = {
    weir_id: survey.weirId,
    from_on: survey.fromOn,
    crest_level_m: survey.crestLevelM,
    off_take_above_bed_m: survey.offTakeAboveBedM,
    mark_above_crest_m: survey.markAboveCrestM,
    loss_cm_per_day: survey.lossCmPerDay,
    tail_chainage_m: survey.tailChainageM,
  }
  const points = survey.sections.flatMap(({ chainageM, points }) =>
    points.map(({ offsetM, sandLevelM, bedLevelM }) => ({
      chainage_m: chainageM,
      offset_m: offsetM,
      sand_level_m: sandLevelM,
      bed_level_m: bedLevelM,
    })),
  )
  const layers = survey.layers.map(({ toDepthM, sandType }) => ({ to_depth_m: toDepthM, sand_type: sandType }))
  const facts = { probed_survey: [row], probed_point: points, sand_layer: layers }
  return appendEntry(pen, { kind: 'probed-survey' }, facts)
}

/** Every standing probed survey, of one weir or of all. */
export async function listProbedSurveys(db: Database, weirId?: string): Promise<ProbedSurvey[]> {
  const rows = await db
    .selectFrom('probed_survey')
    .innerJoin('entry', 'entry.id', 'probed_survey.entry_id')
    .selectAll('probed_survey')
    .select('entry.seq')
    .where(standing('probed_survey'))
    .$if(weirId !== undefined, (query) => query.where('weir_id', '=', weirId!))
    .execute()
  if (rows.length === 0) return []
  const ids = rows.map((row) => row.entry_id)
  const points = await db
    .selectFrom('probed_point')
    .selectAll()
    .where('entry_id', 'in', ids)
    .orderBy('chainage_m')
    .orderBy('offset_m')
    .execute()
  const layers = await db.selectFrom('sand_layer').selectAll().where('entry_id', 'in', ids).execute()
  return rows.map((row) => ({
    entryId: row.entry_id,
    seq: row.seq,
    weirId: row.weir_id,
    fromOn: row.from_on,
    crestLevelM: row.crest_level_m,
    offTakeAboveBedM: row.off_take_above_bed_m,
    markAboveCrestM: row.mark_above_crest_m,
    lossCmPerDay: row.loss_cm_per_day,
    sections: sectionsOf(points.filter((point) => point.entry_id === row.entry_id)),
    tailChainageM: row.tail_chainage_m,
    layers: layersOf(layers.filter((layer) => layer.entry_id === row.entry_id)),
  }))
}

/** The layers with what drains from each, as the equations take them. */
export function yieldingLayers(layers: readonly SandLayerKind[]): SandLayer[] {
  return layers.map(({ toDepthM, sandType }) => ({ toDepthM, specificYield: specificYieldOf(sandType) }))
}

interface PointRow {
  chainage_m: number
  offset_m: number
  sand_level_m: number
  bed_level_m: number
}

function sectionsOf(points: readonly PointRow[]): CrossSection[] {
  return [...group(points, (point) => point.chainage_m)].map(([chainageM, ofSection]) => ({
    chainageM,
    points: ofSection.map((point) => ({
      offsetM: point.offset_m,
      sandLevelM: point.sand_level_m,
      bedLevelM: point.bed_level_m,
    })),
  }))
}

/** The layer that reaches the bed comes last. */
function layersOf(rows: readonly { to_depth_m: number | null; sand_type: string }[]): SandLayerKind[] {
  const depth = (row: { to_depth_m: number | null }) => row.to_depth_m ?? Number.POSITIVE_INFINITY
  return rows
    .toSorted((a, b) => depth(a) - depth(b))
    .map((row) => ({ toDepthM: row.to_depth_m, sandType: row.sand_type as Sediment }))
}
