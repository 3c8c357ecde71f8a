import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { toLitreM3 } from '../../units.ts'
import type { ClaimAllocation } from '../allocation/types.ts'
import { checkWeek, type WeekProblem } from '../draft/check.ts'
import { checkRule } from '../draft/check-rule.ts'
import { drinkingClaimId } from '../draft/claims.ts'
import { weekTimetableInput } from '../draft/limits.ts'
import { weekFills } from '../draft/tanks.ts'
import { withTurnFacts } from '../draft/with-turn-facts.ts'
import { checkTimetable } from '../timetable/check/timetable.ts'
import type { PlannedTurn, TimetableInput, TimetableNote } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { ManualChange, ManualRefusal, ManualWarning } from '../week/manual-change.ts'
import type { PlannedWeek } from '../week/planned-week.ts'
import { inOrder, layTurn } from './lay-turn.ts'

/** Limits that the committee may set aside with a name and a reason; what is not here can not be. */
const MAY_BE_SET_ASIDE = [
  'start-off-grid',
  'turn-too-short',
  'turn-above-longest',
  'turn-while-closed',
  'holder-cannot',
  'outlet-held-twice',
  'outlets-not-together',
  'too-many-outlets-open',
  'list-order-broken',
  'line-not-filled',
]
/** Said of a timetable by whoever reckoned it; a hand leaves them open. */
const ONLY_WORDS = ['note-untrue-or-missing', 'turn-longer-than-its-water']

/**
 * The week with the committee's changes laid in, in the order in which they were written. A change that can not be (its turn
 * is gone, the flow does not carry it) is left out and named; limits that it breaks are named as warnings.
 */
export function withManualChanges(inputs: WeekInputs, week: PlannedWeek): PlannedWeek {
  const changes = inputs.turnFacts?.changes ?? []
  if (changes.length === 0) return week
  const applied: { changeId: string; turnId: Id<'turn'> | null }[] = []
  const refused: { changeId: string; reason: ManualRefusal }[] = []
  let turns = week.turns
  for (const change of changes) {
    const changed = applyChange(inputs, turns, change)
    if ('refusal' in changed) {
      refused.push({ changeId: change.id, reason: changed.refusal })
      continue
    }
    turns = changed.turns
    applied.push({ changeId: change.id, turnId: changed.turnId })
  }
  const { fills, notes, shares, leftM3ByWeir } = week
  const handed = { ...week, turns, ...consequences(inputs, week, turns), notes: notesOf(inputs, week, turns) }
  return {
    ...handed,
    hand: {
      reckoned: { turns: week.turns, ...(fills ? { fills } : {}), notes, shares, leftM3ByWeir },
      applied,
      refused,
      warnings: warningsOf(inputs, week, handed),
      changedPlotIds: changedPlots(week.turns, turns),
    },
  }
}

type Changed = { turns: PlannedTurn[]; turnId: Id<'turn'> | null } | { refusal: ManualRefusal }

/** One change laid into the turns as they stand; the turns come back in order. */
export function applyChange(inputs: WeekInputs, turns: readonly PlannedTurn[], change: ManualChange): Changed {
  const isOwn = (turn: PlannedTurn) => turn.plotId === change.plotId && turn.outletId === change.outletId
  const target = change.kind === 'add' ? null : turns.find((turn) => isOwn(turn) && turn.on === change.wasOn)
  if (target === undefined) return { refusal: 'no-such-turn' }
  const others = turns.filter((turn) => turn !== target)
  if (change.kind === 'drop') return { turns: inOrder(others), turnId: null }
  const on = change.on ?? target?.on ?? ''
  const startMinute = change.startMinute ?? target?.startMinute ?? 0
  const isKnown = inputs.outlets.some((outlet) => outlet.id === change.outletId) && inputs.days.includes(on)
  if (!isKnown) return { refusal: 'not-in-week' }
  if (others.some((turn) => isOwn(turn) && turn.on === on)) return { refusal: 'turn-there-already' }
  const volumeM3 = change.volumeM3 ?? target?.volumeM3 ?? 0
  const laid = layTurn(inputs, others, { plotId: change.plotId, outletId: change.outletId, on, startMinute, volumeM3 })
  const byGravity = inputs.outlets.some(({ id, tankId }) => id === change.outletId && tankId)
  if (!laid) return { refusal: byGravity ? 'beyond-tank' : 'beyond-flow' }
  return { turns: inOrder([...others, laid]), turnId: laid.id }
}

/** The judges on a week that may have been changed by hand: the reckoned week must stand, and what came of it must be possible. */
export function checkChangedWeek(inputs: WeekInputs, week: PlannedWeek): WeekProblem[] {
  if (!week.hand) return checkWeek(inputs, week)
  const problems = judged(inputs, week).filter(({ code }) => ![...MAY_BE_SET_ASIDE, ...ONLY_WORDS].includes(code))
  return [
    ...checkWeek(inputs, { ...week, ...week.hand.reckoned }),
    ...problems.map((problem): WeekProblem => ({ judge: 'timetable', ...problem })),
  ]
}

/** Changes to an officer's own turn that nobody else has put a name under yet. */
export function withoutSecondName({ turnFacts }: WeekInputs, { hand }: PlannedWeek): ManualChange[] {
  const isApplied = (change: ManualChange) => hand?.applied.some((one) => one.changeId === change.id) ?? false
  return (turnFacts?.changes ?? []).filter(
    (change) =>
      isApplied(change) && turnFacts!.officerPlotIds.includes(change.plotId) && change.approvedByName === null,
  )
}

/**
 * Changes laid in that give a plot more or less water and have one name: whoever wrote them does not publish by it alone. A turn of an
 * officer is not among them, since nobody publishes that one without its second name.
 */
export function waterByOneName({ turnFacts }: WeekInputs, { hand }: PlannedWeek): ManualChange[] {
  return (turnFacts?.changes ?? []).filter(
    ({ id, plotId, approvedByName }) =>
      approvedByName === null &&
      !turnFacts!.officerPlotIds.includes(plotId) &&
      hand?.applied.some((one) => one.changeId === id) &&
      hand.changedPlotIds.includes(plotId),
  )
}

/** Shares, left-over water and the filling of the tanks follow the turns. */
function consequences(inputs: WeekInputs, week: PlannedWeek, turns: readonly PlannedTurn[]) {
  const changed = changedPlots(week.turns, turns)
  const leftM3ByWeir = { ...week.leftM3ByWeir }
  for (const [list, sign] of [
    [week.turns, 1],
    [turns, -1],
  ] as const)
    for (const { pumpId, volumeM3 } of list) {
      const weirId = inputs.pumps.find((pump) => pump.id === pumpId)!.weirId
      leftM3ByWeir[weirId] = toLitreM3((leftM3ByWeir[weirId] ?? 0) + sign * volumeM3)
    }
  const shares = week.shares.map((share) => {
    if (!changed.includes(share.plotId)) return share
    const allocatedM3 = volumeOf(turns, share.plotId)
    const { entitledM3, receivedM3 } = share
    return { ...share, allocatedM3, level: entitledM3 > 0 ? (receivedM3 + allocatedM3) / entitledM3 : share.level }
  })
  return { shares, leftM3ByWeir, ...weekFills(inputs, turns) }
}

function changedPlots(before: readonly PlannedTurn[], after: readonly PlannedTurn[]): string[] {
  const plotIds = new Set([...before, ...after].map((turn) => turn.plotId))
  return [...plotIds].filter((plotId) => volumeOf(before, plotId) !== volumeOf(after, plotId)).sort()
}

function volumeOf(turns: readonly PlannedTurn[], plotId: Id<'plot'>): number {
  return toLitreM3(
    sum(
      turns.filter((turn) => turn.plotId === plotId),
      (turn) => turn.volumeM3,
    ),
  )
}

function notesOf({ claims }: WeekInputs, { notes }: PlannedWeek, turns: readonly PlannedTurn[]): TimetableNote[] {
  const latest = new Map(claims.map((claim) => [claim.plotId, claim.latestOn]))
  const isFirst = (turn: PlannedTurn) =>
    turns.every((other) => other.claimId !== turn.claimId || other.outletId !== turn.outletId || other.on >= turn.on)
  const late = turns.filter((turn) => isFirst(turn) && turn.on > (latest.get(turn.plotId) ?? '9999-12-31'))
  const others = notes.filter((note) => note.code !== 'after-latest-day')
  return [...late.map((turn): TimetableNote => ({ code: 'after-latest-day', turnId: turn.id })), ...others]
}

function warningsOf(inputs: WeekInputs, before: PlannedWeek, week: PlannedWeek): ManualWarning[] {
  const beyond = Object.entries(week.leftM3ByWeir)
    .filter(([weirId, leftM3]) => leftM3 < 0 && leftM3 < (before.leftM3ByWeir[weirId] ?? 0))
    .map(([weirId, leftM3]) => ({ code: 'weir-beyond-release', values: { weirId, beyondM3: -leftM3 } }))
  const setAside = judged(inputs, week).filter(({ code }) => MAY_BE_SET_ASIDE.includes(code))
  return [...setAside, ...ruleWarnings(inputs, before, week.turns), ...beyond]
}

/** The independent judge on the turns as the hand left them; their own volumes stand for what was allocated. */
export function judged(inputs: WeekInputs, { turns, notes }: Pick<PlannedWeek, 'turns' | 'notes'>) {
  const byKey = new Map<string, TimetableInput['allocations'][number]>()
  for (const { plotId, outletId, volumeM3 } of turns) {
    const key = `${plotId} ${outletId}`
    const before = byKey.get(key)?.volumeM3 ?? 0
    byKey.set(key, { claimId: plotId, plotId, outletId, volumeM3: toLitreM3(before + volumeM3) })
  }
  const input = { ...weekTimetableInput(inputs, []), allocations: [...byKey.values()] }
  const result = { turns: [...turns], unplacedM3: [], ...weekFills(inputs, turns), notes }
  return checkTimetable({ input: withTurnFacts(inputs, input), result })
}

/**
 * What the group's rule promises, judged on the turns as the committee's hand left them: the spare part, drinking water, the
 * caps, protected plots and minimums. Only what the hand has done is named; the reckoned turns are judged the same way first.
 */
function ruleWarnings(
  inputs: WeekInputs,
  before: Pick<PlannedWeek, 'turns' | 'shares' | 'allocation'>,
  after: readonly PlannedTurn[],
): ManualWarning[] {
  const judgedOf = (turns: readonly PlannedTurn[]) =>
    checkRule(inputs, {
      shares: before.shares,
      allocation: { ...before.allocation, claims: claimsOf(inputs, before, turns) },
    })
  const nameOf = ({ code, values }: ManualWarning) => `${code} ${values.plot ?? values.weir}`
  const known = new Set(judgedOf(before.turns).map(nameOf))
  return judgedOf(after).filter((problem) => !known.has(nameOf(problem)))
}

/** The turns of each plot as one claim, beside the drinking water as it was allocated. */
function claimsOf(
  { weirs, plots }: WeekInputs,
  { allocation }: Pick<PlannedWeek, 'allocation'>,
  turns: readonly PlannedTurn[],
): ClaimAllocation[] {
  const drinking = new Set(weirs.map((weir) => drinkingClaimId(weir.id)))
  const ofPlots = plots.map(({ id }): ClaimAllocation => {
    const byOutletM3: Record<string, number> = {}
    for (const turn of turns.filter(({ plotId }) => plotId === id))
      byOutletM3[turn.outletId] = (byOutletM3[turn.outletId] ?? 0) + turn.volumeM3
    const allocatedM3 = sum(Object.values(byOutletM3))
    return { id, allocatedM3, byOutletM3, level: null, heldBy: { kind: 'need' }, alsoHeldBy: [] }
  })
  return [...allocation.claims.filter((claim) => drinking.has(claim.id)), ...ofPlots]
}
