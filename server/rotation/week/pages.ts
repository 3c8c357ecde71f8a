import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { bookableM3 } from '../../../domain/rotation/draft/claims.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PumpFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { sum } from '../../../domain/sum.ts'
import { isWeekOver } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { type LateStandstill, lateClosures } from '../draft/closures.ts'
import type { OutcomeCause } from '../outcome/store.ts'
import type { Unsettled } from '../outcome/unsettled.ts'
import type { TakenBack } from '../published/taken-back-store.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { changesShown } from './change-lines.ts'
import { orderOfWeek } from './order-words.ts'
import { weekPart } from './parts.ts'
import { daySums, weekStrips } from './strips.ts'
import { turnWords } from './turn-words.ts'
import { heldWords, namedShares, type ShownWeek, turnsByDay } from './view.ts'
import { droughtCaps, notLessLater, weekValues } from './words.ts'

export interface Problem {
  key: string
  values: Record<string, string | number>
}

export type ListedTurn = BookedTurn & { missed: OutcomeCause | null; inDoubt: boolean }

export interface WeekFound {
  weekStartOn: CalendarDate
  week: ShownWeek | null
  lateFaults: LateStandstill[]
  /** Of a published week, with what later changes brought in. */
  turns: ListedTurn[] | undefined
  unsettled: Unsettled[]
  /** By two devices, while they were apart. */
  publishedTwice: boolean
  takenBack: TakenBack[]
  mayTakeBack: boolean
  /** Plots of whoever looks. */
  own: ReadonlySet<Id<'plot'>>
}

/** A draft or a published week with its turns, its water and its shares. */
export function weekPage(desk: Desk, found: WeekFound, problems: Problem[]) {
  const { week, weekStartOn, lateFaults, turns, unsettled, own } = found
  const over = isWeekOver(weekStartOn, desk.group, desk.today)
  const head = {
    title: week?.published ? 'rotation.week-title' : 'rotation.draft-title',
    titleValues: weekValues(desk, weekStartOn),
    weekStartOn,
    week,
    problems,
    lateFaults: lateFaults.map(withOpenDays(desk.today)),
    publishedTwice: found.publishedTwice,
    takenBack: found.takenBack,
    mayTakeBack: found.mayTakeBack,
    unsettled: unsettled.toReversed(),
    unsettledCount: sum(unsettled, (day) => day.count),
    over,
    // What is to be looked at stands beside the button that publishes.
    mayPublish: !week?.published && desk.may('week.publish') && !over,
  }
  if (!week) return head
  const { inputs, results } = week
  const days = turnsByDay(week, turns, lateClosures(lateFaults))
  const officers = inputs.turnFacts?.officerPlotIds ?? []
  const { shownDays, shownShares, ...parted } = weekPart(desk, { week, days, shares: namedShares(week), own })
  return {
    ...head,
    ...parted,
    days: shownDays,
    own,
    officers,
    strips: weekStrips(inputs, shownDays, { own, officers }),
    sums: daySums(shownDays, own),
    wordsOf: turnWords(desk, officers),
    hrefOf: ({ bookId, plotId }: { bookId?: string; plotId: string }) =>
      bookId ? `/turns/${bookId}` : `/turns/working/why/${weekStartOn}/${plotId}`,
    changes: changesShown(desk, week, onTheSheet(turns)),
    caps: droughtCaps(inputs.drought),
    byList: listsInWeek(inputs),
    asLastWeek: inputs.claims.filter((claim) => claim.isAsLastWeek).length,
    unplaced: unplacedLines(week),
    weirs: weirLines(week),
    notLessLater: inputs.weirs.flatMap((weir) => notLessLater(weir, desk) ?? []),
    pumps: inputs.turnFacts?.pumps.map((facts) => pumpLine(desk, inputs, facts)),
    order: orderOfWeek(inputs, desk.locale),
    sharesCount: results.shares.length,
    shares: shownShares.map((share) => ({ ...share, held: heldWords(week, share) })),
    notAdmitted: inputs.notAdmitted.map((one) => ({ ...one, plot: plotNumber(inputs, one.plotId) })),
  }
}

/** Turns that still stand: neither changed nor missed. */
export function onTheSheet(turns: ListedTurn[] | undefined): BookedTurn[] | undefined {
  return turns?.filter((turn) => !turn.droppedBy && !turn.missed)
}

/** The days on which the rest can still be shared anew. */
function withOpenDays(today: string) {
  return (late: LateStandstill) => ({ ...late, openDays: late.days.filter((day) => day >= today) })
}

function plotNumber({ plots }: WeekInputs, plotId: Id<'plot'>): number | '' {
  return plots.find((plot) => plot.id === plotId)?.number ?? ''
}

/** The next names of each pump that goes by list. */
function listsInWeek(inputs: WeekInputs) {
  return (inputs.turnFacts?.lists ?? []).flatMap(({ pumpId, plotIds }) => {
    const pump = inputs.pumps.find((one) => one.id === pumpId)
    const numbers = plotIds.map((id) => plotNumber(inputs, id)).filter(Boolean)
    return pump ? [{ pump, plots: numbers.join(', ') }] : []
  })
}

export function unplacedLines({ inputs, results }: ShownWeek) {
  return results.unplaced.map((one) => ({ ...one, plot: plotNumber(inputs, one.claimId) }))
}

/** The water of each weir: what people drink of it, what the rule leaves unbooked, and what nobody takes. */
function weirLines({ inputs, results }: ShownWeek) {
  return inputs.weirs.map((weir) => ({
    ...weir,
    drunkM3: results.drinking.find((one) => one.weirId === weir.id)?.allocatedM3 ?? null,
    spareM3: weir.releasableM3 - bookableM3(inputs, weir),
    leftM3: results.leftM3ByWeir[weir.id] ?? 0,
  }))
}

function pumpLine({ t }: Desk, { pumps }: WeekInputs, { pumpId, mount, skyByDay, dayM3ByDay }: PumpFacts) {
  const counts = (['clear', 'half', 'dull'] as const).flatMap((sky) => {
    const days = Object.values(skyByDay).filter((one) => one === sky).length
    return days > 0 ? [t('week.days-of', { days, sky: t(`pump-flow.sky.${sky}`) })] : []
  })
  return {
    pump: pumps.find((pump) => pump.id === pumpId)!,
    mount,
    skies: counts.join(', '),
    weekM3: sum(Object.values(dayM3ByDay)),
  }
}
