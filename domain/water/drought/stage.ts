import { ascending } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { InputError } from '../../input-error.ts'

/** A stage in the group's own words, with the mark at which it is proposed: a level of one weir, or days of cover. */
export interface DroughtStage {
  stageId: Id<'stage'>
  /** From the mildest up: 1, 2, 3. */
  severity: number
  trigger: { weirId: Id<'weir'>; belowLevelM: number } | { weirId: Id<'weir'>; belowCoverDays: number }
}

/** What one reading of a weir gave; days of cover by the cautious case, null when they cannot be said. */
export interface StageReading {
  weirId: Id<'weir'>
  readOn: CalendarDate
  waterLevelM: number
  coverDays: number | null
}

interface StageProposal {
  /** The stage to propose to the committee; null for none. Nothing is ever applied by itself. */
  proposed: DroughtStage | null
  /** A stage that one reading alone would call for: wait for the second. */
  waitingFor: DroughtStage | null
  /** The two readings behind the proposal, the earlier first. */
  readings: StageReading[]
}

/**
 * The gravest stage whose mark was passed by the last two readings of its weir, and a graver one that only the last
 * has passed. Two in a row, so that one low stick starts no quarrel (common practice, no source).
 */
export function proposeDroughtStage({
  stages,
  readings,
}: {
  stages: readonly DroughtStage[]
  readings: readonly StageReading[]
}): StageProposal {
  const severities = new Set(stages.map((stage) => stage.severity))
  if (severities.size < stages.length) throw new InputError('stages-of-one-severity')
  const gravestFirst = [...stages].sort((a, b) => b.severity - a.severity)
  const lastTwo = (weirId: Id<'weir'>) =>
    readings
      .filter((reading) => reading.weirId === weirId)
      .sort((a, b) => ascending(a.readOn, b.readOn))
      .slice(-2)
  const proposed = gravestFirst.find((stage) => {
    const two = lastTwo(stage.trigger.weirId)
    return two.length === 2 && two.every((reading) => isPast(stage, reading))
  })
  const once = gravestFirst.find((stage) =>
    lastTwo(stage.trigger.weirId)
      .slice(-1)
      .some((reading) => isPast(stage, reading)),
  )
  return {
    proposed: proposed ?? null,
    waitingFor: once && once.severity > (proposed?.severity ?? Number.NEGATIVE_INFINITY) ? once : null,
    readings: proposed ? lastTwo(proposed.trigger.weirId) : [],
  }
}

function isPast({ trigger }: DroughtStage, { waterLevelM, coverDays }: StageReading): boolean {
  if ('belowLevelM' in trigger) return waterLevelM < trigger.belowLevelM
  return coverDays !== null && coverDays < trigger.belowCoverDays
}
