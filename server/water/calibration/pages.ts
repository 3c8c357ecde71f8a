import { createHash } from 'node:crypto'
import type { M3 } from '../../../domain/units.ts'
import type { Calibration } from '../../../domain/water/calibration/calibrate.ts'
import { type DaysOfCover, daysOfCover } from '../../../domain/water/path/cover.ts'
import type { StoreLoss } from '../../../domain/water/path/store.ts'
import { levelAfterTakingM } from '../../../domain/water/sand/level-today.ts'
import { reckoned } from '../../reckoner/reckoner.ts'
import type { CoverState } from '../cover/state.ts'
import { bodyOf, type WeirSurvey } from '../sand/description.ts'
import type { TableWorking } from '../sand/table-store.ts'
import type { WaterState } from '../storage/state.ts'
import { comparedRows } from '../table/pages.ts'
import type { SandBook } from './book.ts'

export type Fitted = Extract<Calibration, { refused: null }>

/** What the book says of a weir's table: refused with what is missing, or a proposal beside the old. */
export function calibrationOf(book: SandBook, survey: WeirSurvey, openWaterMm: number | null): Promise<Calibration> {
  const { stretches, meterTimes } = book
  return reckoned('calibration of a weir', { body: bodyOf(survey), stretches, openWaterMm, meterTimes })
}

export function workingOf(fit: Fitted, book: SandBook): TableWorking {
  const { readings, fallCm, bands, loss, residualCm, halfWidth, meterAgrees } = fit
  const dry = book.stretches.filter((stretch) => stretch.kind === 'dry')
  return {
    readings,
    fallCm,
    bands,
    loss,
    residualCm,
    halfWidth,
    meterAgrees,
    fromOn: dry[0]!.fromOn,
    toOn: dry.at(-1)!.toOn,
  }
}

/** Tells a proposal from another one, so that nobody accepts figures that were not on the page. */
export function digestOfFit({ rows, loss }: Fitted): string {
  const told = rows.map((row) => Object.values(row).map((value) => value.toFixed(3)))
  return createHash('sha256')
    .update(JSON.stringify([told, loss.fallCmPerDay.toFixed(4)]))
    .digest('hex')
    .slice(0, 16)
}

interface CoverBeside {
  before: DaysOfCover
  after: DaysOfCover
  weeklyIrrigationM3: M3
}

/**
 * How many days the water lasts by the old table, as the page of the water says it, and by the proposed one: both begin with what left
 * since the reading taken off. Null while a part of it is not known.
 */
export function coverBeside(covers: readonly CoverState[], state: WaterState, fit: Fitted): CoverBeside | null {
  const own = covers.find((one) => one.state.weir.id === state.weir.id)
  const { storage, since, lateRainOn, on } = state
  if (!own?.coverWeir || !own.cover || storage.cannotSay || lateRainOn === null) return null
  const body = fit.proposedBody
  const takenM3 = since.drawnM3 + since.drunkM3 + since.lostM3
  const proposed = {
    ...own.coverWeir,
    body,
    waterLevelM: levelAfterTakingM({ body, waterLevelM: storage.waterLevelM, takenM3 }),
    loss: lossAfter(state, fit, storage.waterLevelM),
  }
  const weirs = covers.flatMap(({ coverWeir }) => (coverWeir === own.coverWeir ? [proposed] : (coverWeir ?? [])))
  const after = daysOfCover({ weirs, today: on, lateRainOn }).find(({ weirId }) => weirId === proposed.weirId)!
  return { before: own.cover, after, weeklyIrrigationM3: own.plan.volumeM3 }
}

/** Rests tell the loss whatever the table; the fit's own is the mean of a season, taken for today's level. */
function lossAfter({ loss }: WaterState, fit: Fitted, waterLevelM: number): StoreLoss {
  return loss && 'rests' in loss ? loss : { fallCmPerDay: fit.loss.fallCmPerDay, measuredAtLevelM: waterLevelM }
}

export function proposalShown(fit: Fitted, survey: WeirSurvey) {
  return { fit, rows: comparedRows(fit.rows, survey), digest: digestOfFit(fit) }
}
