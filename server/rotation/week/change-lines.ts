import type { Id } from '../../../domain/id.ts'
import { holderOverlaps } from '../../../domain/rotation/draft/holder-overlaps.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { ManualChange } from '../../../domain/rotation/week/manual-change.ts'
import type { Words } from '../../web/pages/page.ts'
import type { Amendment } from '../published/amendment-store.ts'
import type { ShownWeek } from './view.ts'

/** One change by hand in words, with what still has to be done about it. */
interface ChangeLine {
  id: string
  plotId: Id<'plot'>
  words: string
  reason: string
  byName: string
  byId: string
  at: string
  approvedByName: string | null
  ofOfficer: boolean
  /** Why it could not be laid in; null when it stands. */
  refused: string | null
}

type Change = Pick<
  ManualChange,
  | 'id'
  | 'kind'
  | 'plotId'
  | 'outletId'
  | 'wasOn'
  | 'on'
  | 'startMinute'
  | 'volumeM3'
  | 'byName'
  | 'byId'
  | 'at'
  | 'reason'
  | 'approvedByName'
>

/** The changes that went into a week before its publication. */
export function changeLines(week: Pick<ShownWeek, 'inputs' | 'results'>, words: Words): ChangeLine[] {
  const refused = new Map((week.results.hand?.refused ?? []).map((one) => [one.changeId, one.reason]))
  return (week.inputs.turnFacts?.changes ?? []).map((change) => ({
    ...lineOf(week, change, words),
    refused: refused.get(change.id) ?? null,
  }))
}

/** The dated changes since. */
export function amendmentLines(
  week: Pick<ShownWeek, 'inputs' | 'results'>,
  amendments: readonly Amendment[],
  words: Words,
): ChangeLine[] {
  return amendments.map((amendment) => {
    const line = lineOf(week, amendment, words)
    return { ...line, ofOfficer: line.ofOfficer && !amendment.byRule, refused: null }
  })
}

function lineOf({ inputs }: Pick<ShownWeek, 'inputs'>, change: Change, { locale, format }: Words) {
  const { kind, wasOn, on, startMinute, volumeM3 } = change
  const values = {
    plot: inputs.plots.find((plot) => plot.id === change.plotId)?.number ?? '',
    outlet: inputs.outlets.find((outlet) => outlet.id === change.outletId)?.number ?? '',
    was: wasOn ? format.weekday(wasOn) : '',
    day: on ? format.weekday(on) : '',
    start: startMinute === null ? '' : format.clock(startMinute),
    volume: volumeM3 === null ? '' : format.one(volumeM3),
  }
  const { id, reason, byName, byId, at, approvedByName } = change
  const ofOfficer = inputs.turnFacts?.officerPlotIds.includes(change.plotId) ?? false
  const key = kind === 'move' && volumeM3 !== null ? 'move-with-volume' : kind
  const words = locale.t(`week.changed-${key}`, values)
  return { id, plotId: change.plotId, words, reason, byName, byId, at, approvedByName, ofOfficer }
}

/** Limits that the hand breaks, in words. */
function warningWords({ inputs, results }: Pick<ShownWeek, 'inputs' | 'results'>, { locale, format }: Words) {
  return (results.hand?.warnings ?? []).map(({ code, values }) => {
    const turn = results.turns.find((one) => one.id === values.turnId)
    const weir = inputs.weirs.find((one) => one.id === (values.weirId ?? values.weir))
    const plotId = turn?.plotId ?? values.plot
    return locale.t(`week.warning-${code}`, {
      plot: inputs.plots.find((plot) => plot.id === plotId)?.number ?? '',
      day: turn ? format.weekday(turn.on) : '',
      start: turn ? format.clock(turn.startMinute) : '',
      weir: weir?.number ?? '',
      beyond: format.one(Number(values.beyondM3 ?? 0)),
    })
  })
}

/** Two turns at once of one person, in words; no rule forbids them, but somebody has to see to it. */
function overlapsShown(inputs: WeekInputs, turns: readonly PlannedTurn[], { locale, format }: Words) {
  return holderOverlaps({ inputs, turns }).map(({ holder, first, second }) => ({
    href: changeHref(inputs, second),
    words: locale.t('week.two-at-once', {
      holder,
      day: format.weekday(first.on),
      plot: inputs.plots.find((plot) => plot.id === first.plotId)?.number ?? '',
      start: format.clock(first.startMinute),
      other: inputs.plots.find((plot) => plot.id === second.plotId)?.number ?? '',
      otherStart: format.clock(second.startMinute),
    }),
  }))
}

/** The form that changes one turn of a week by hand. */
export function changeHref({ weekStartOn }: Pick<WeekInputs, 'weekStartOn'>, { id }: { id: string }): string {
  return `/turns/weeks/${weekStartOn}/change?turn=${encodeURIComponent(id)}`
}

/** What the pages of a week show of its manual changes. */
export function changesShown(words: Words, week: ShownWeek, standing: readonly PlannedTurn[] = week.results.turns) {
  return {
    changeLines: changeLines(week, words),
    amendmentLines: amendmentLines(week, week.amendments, words),
    waitingLines: amendmentLines(week, week.waiting, words),
    warnings: warningWords(week, words),
    twoAtOnce: overlapsShown(week.inputs, standing, words),
    published: week.published !== null,
    officerPlotIds: week.inputs.turnFacts?.officerPlotIds ?? [],
  }
}
