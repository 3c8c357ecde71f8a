import type { Flag, LikelyCause, OtherTurn, PlausibilityInput, TurnFacts } from './logged-turn.ts'

const MINUTE_MS = 60_000
const HALF_DAY_MS = 12 * 60 * MINUTE_MS
const DAY_MS = 2 * HALF_DAY_MS
/** Paper is typed in within its season; half a year later a wrong year or month is likelier (common practice, no source). */
const LATE_PAPER_DAYS = 183

/** What the hours say: in the future, backwards, outside the plan, at the same time as another turn. */
export function timeFlags(input: PlausibilityInput): Flag[] {
  return [...orderFlags(input), ...lateFlags(input), ...futureFlags(input), ...planFlags(input), ...overlapFlags(input)]
}

function orderFlags({ turn, writtenAt, previousWrittenAt }: PlausibilityInput): Flag[] {
  const flags: Flag[] = []
  const { startAt, stopAt } = turn
  if (startAt !== undefined && stopAt !== undefined && stopAt < startAt) {
    const backMs = Date.parse(startAt) - Date.parse(stopAt)
    const likelyCause = backMs <= HALF_DAY_MS ? 'morning-for-afternoon' : 'past-midnight'
    flags.push({ code: 'stop-before-start', values: { startAt, stopAt }, likelyCause })
  }
  if (writtenAt !== undefined && previousWrittenAt !== undefined && writtenAt < previousWrittenAt) {
    const values = { writtenAt, previousWrittenAt }
    flags.push({ code: 'clock-jumped-back', values, likelyCause: 'date-or-clock-wrong' })
  }
  return flags
}

function lateFlags({ writtenAt, happenedAt }: PlausibilityInput): Flag[] {
  if (writtenAt === undefined || happenedAt === undefined) return []
  const days = Math.floor((Date.parse(writtenAt) - Date.parse(happenedAt)) / DAY_MS)
  if (days <= LATE_PAPER_DAYS) return []
  return [{ code: 'day-long-before-writing', values: { days }, likelyCause: 'date-or-clock-wrong' }]
}

function futureFlags({ turn, writtenAt }: PlausibilityInput): Flag[] {
  const lastAt = [turn.startAt, turn.stopAt]
    .filter((at) => at !== undefined)
    .toSorted()
    .at(-1)
  if (writtenAt === undefined || lastAt === undefined || lastAt <= writtenAt) return []
  const aheadMs = Date.parse(lastAt) - Date.parse(writtenAt)
  const likelyCause = aheadMs <= HALF_DAY_MS ? 'morning-for-afternoon' : 'date-or-clock-wrong'
  const values = { at: lastAt, writtenAt, aheadMinutes: Math.ceil(aheadMs / MINUTE_MS) }
  return [{ code: 'hour-in-the-future', values, likelyCause }]
}

/** A turn that begins before its window or ends after it; a quarter of an hour of grace, as for a late taker. */
function planFlags({ turn, plan }: PlausibilityInput): Flag[] {
  if (!plan || turn.startAt === undefined) return []
  const graceMs = 15 * MINUTE_MS
  const startMs = Date.parse(turn.startAt)
  const stopMs = Math.max(startMs, Date.parse(turn.stopAt ?? turn.startAt))
  const within = (shiftMs: number) =>
    startMs + shiftMs >= Date.parse(plan.startAt) - graceMs && stopMs + shiftMs <= Date.parse(plan.stopAt) + graceMs
  if (within(0)) return []
  const likelyCause: LikelyCause = within(HALF_DAY_MS) || within(-HALF_DAY_MS) ? 'morning-for-afternoon' : 'turn-moved'
  const values = { startAt: turn.startAt, planStartAt: plan.startAt, planStopAt: plan.stopAt }
  return [{ code: 'outside-the-plan', values, likelyCause }]
}

function overlapFlags({ turn, others = [] }: PlausibilityInput): Flag[] {
  return others.flatMap((other) => {
    if (!sharesPipe(turn, other)) return [] // Asked first: of a hundred draws of a day two share a pipe.
    const minutes = overlapMinutes(turn, other)
    if (minutes <= 0) return []
    const likelyCause: LikelyCause = turn.outletId === other.outletId ? 'outlet-number-misread' : 'two-outlets-open'
    return [{ code: 'overlaps-another-turn', values: { otherId: other.id, minutes }, likelyCause } as Flag]
  })
}

function sharesPipe(turn: TurnFacts, other: OtherTurn): boolean {
  const sameMeter = turn.meterId !== undefined && turn.meterId === other.meterId
  return turn.outletId === other.outletId || sameMeter
}

function overlapMinutes({ startAt, stopAt }: TurnFacts, other: OtherTurn): number {
  if (startAt === undefined || stopAt === undefined) return 0
  const fromMs = Math.max(Date.parse(startAt), Date.parse(other.startAt))
  const toMs = Math.min(Date.parse(stopAt), Date.parse(other.stopAt))
  return (toMs - fromMs) / MINUTE_MS
}
