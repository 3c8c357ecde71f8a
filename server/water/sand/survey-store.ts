import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type Sediment, specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import type { CrossSection, SandLayer } from '../../../domain/water/sand/body.ts'
import type { UnmeasuredSand } from '../../../domain/water/sand/unmeasured.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
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
  weirId: Id<'weir'>
  fromOn: CalendarDate
  crestLevelM: number
  offTakeAboveBedM: number
  markAboveCrestM: number
  lossCmPerDay: number | null
  /** Figures that nobody knew; those beside them give the least water. */
  unmeasured?: readonly UnmeasuredSand[]
}

export interface ProbedSurvey extends NewProbedSurvey {
  entryId: string
  seq: number
}

export async function addProbedSurvey(pen: Pen, survey: NewProbedSurvey): Promise<string> {
  const row = {
    weirId: survey.weirId,
    fromOn: survey.fromOn,
    crestLevelM: survey.crestLevelM,
    offTakeAboveBedM: survey.offTakeAboveBedM,
    markAboveCrestM: survey.markAboveCrestM,
    lossCmPerDay: survey.lossCmPerDay,
    tailChainageM: survey.tailChainageM,
  }
  const points = survey.sections.flatMap(({ chainageM, points }) =>
    points.map(({ offsetM, sandLevelM, bedLevelM }) => ({
      chainageM,
      offsetM,
      sandLevelM,
      bedLevelM,
    })),
  )
  const layers = survey.layers.map(({ toDepthM, sandType }) => ({ toDepthM, sandType }))
  const unmeasured = (survey.unmeasured ?? []).map((figure) => ({ figure }))
  const facts = { probedSurvey: [row], probedPoint: points, sandLayer: layers, unmeasured }
  return appendEntry(pen, { kind: 'probed-survey' }, facts)
}

const probedRows = readTogether('water', (db) =>
  db
    .selectFrom('probedSurvey')
    .innerJoin('entry', 'entry.id', 'probedSurvey.entryId')
    .selectAll('probedSurvey')
    .select('entry.seq')
    .where(standing('probedSurvey')),
)

const pointRows = readTogether('water', (db) =>
  db.selectFrom('probedPoint').selectAll().orderBy('chainageM').orderBy('offsetM'),
)

const layerRows = readTogether('water', (db) => db.selectFrom('sandLayer').selectAll())

/** Every standing probed survey, of one weir or of all. */
export async function listProbedSurveys(db: Database, weirId?: Id<'weir'>): Promise<ProbedSurvey[]> {
  const rows = (await probedRows(db)).filter((row) => weirId === undefined || row.weirId === weirId)
  if (rows.length === 0) return []
  const points = await pointRows(db)
  const layers = await layerRows(db)
  return rows.map((row) => ({
    entryId: row.entryId,
    seq: row.seq,
    weirId: row.weirId,
    fromOn: row.fromOn,
    crestLevelM: row.crestLevelM,
    offTakeAboveBedM: row.offTakeAboveBedM,
    markAboveCrestM: row.markAboveCrestM,
    lossCmPerDay: row.lossCmPerDay,
    sections: sectionsOf(points.filter((point) => point.entryId === row.entryId)),
    tailChainageM: row.tailChainageM,
    layers: layersOf(layers.filter((layer) => layer.entryId === row.entryId)),
  }))
}

/** The layers with what drains from each, as the equations take them. */
export function yieldingLayers(layers: readonly SandLayerKind[]): SandLayer[] {
  return layers.map(({ toDepthM, sandType }) => ({ toDepthM, specificYield: specificYieldOf(sandType) }))
}

interface PointRow {
  chainageM: number
  offsetM: number
  sandLevelM: number
  bedLevelM: number
}

function sectionsOf(points: readonly PointRow[]): CrossSection[] {
  return [...group(points, (point) => point.chainageM)].map(([chainageM, ofSection]) => ({
    chainageM,
    points: ofSection.map((point) => ({
      offsetM: point.offsetM,
      sandLevelM: point.sandLevelM,
      bedLevelM: point.bedLevelM,
    })),
  }))
}

/** The layer that reaches the bed comes last. */
function layersOf(rows: readonly { toDepthM: number | null; sandType: string }[]): SandLayerKind[] {
  const depth = (row: { toDepthM: number | null }) => row.toDepthM ?? Number.POSITIVE_INFINITY
  return rows
    .toSorted((a, b) => depth(a) - depth(b))
    .map((row) => ({ toDepthM: row.toDepthM, sandType: row.sandType as Sediment }))
}
