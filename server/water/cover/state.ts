import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { type CoverWeir, type DaysOfCover, daysOfCover } from '../../../domain/water/path/cover.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { levelAfterTakingM } from '../../../domain/water/sand/level-today.ts'
import { weekEndOn, weekOf, weekStartOf, wholeWeekDays } from '../../../domain/weeks.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { levelsOf } from '../sand/description.ts'
import { drawnBetween } from '../storage/seen-store.ts'
import { type CannotSayReason, missingFor, type WaterState, waterStates } from '../storage/state.ts'
import { untypedTurns } from '../storage/untyped-store.ts'
import { coverTermsOn, plannedByWeir, publishedWeekStarts, type StandingTerm } from './store.ts'

const PLAN_WEEKS = 4

/** Where the weekly plan comes from: the group's own figure, the log of the last weeks, the week now running or to come. */
type PlanSource = 'own' | 'drawn' | 'planned' | 'none'

interface WeeklyPlan {
  volumeM3: M3
  source: PlanSource
  /** The weeks behind it, newest first. */
  weeks: CalendarDate[]
  /** Agreed turns of these weeks of which nobody has written a word; they count as drawn. */
  untyped: number
}

/** Everything behind the days of cover of one weir. */
export interface CoverState {
  state: WaterState
  term: StandingTerm | null
  plan: WeeklyPlan
  levelTodayM: number | null
  /** The weir to which spill and leak go; null for the last, or when that weir's water is not known. */
  feeds: WaterState['weir'] | null
  /** The weirs whose water reaches this one. */
  fedBy: WaterState['weir'][]
  cannotSay: CannotSayReason[]
  coverWeir: CoverWeir | null
  cover: DaysOfCover | null
}

/** Days of cover of every weir, from the head of the stream to its tail, as the book knows it on a day. */
export function coverStates(db: Database, { on }: { on: CalendarDate }): Promise<CoverState[]> {
  return kept(db, 'days of cover', on, () => reckonCover(db, on))
}

async function reckonCover(db: Database, on: CalendarDate): Promise<CoverState[]> {
  const states = await waterStates(db, { on })
  const terms = await coverTermsOn(db, on)
  const group = found(await currentGroup(db))
  const daysInWeek = wholeWeekDays(on, group)
  const plans = await weeklyPlans(db, { on, states, terms, group })
  const known = states.filter((state) => missingFor(state).length === 0)
  const readied = states.map((state, at): CoverState => {
    const below = states[at + 1]
    const feeds = below && known.includes(below) ? below.weir : null
    const above = at > 0 && known.includes(states[at - 1]!) ? [states[at - 1]!.weir] : []
    const term = terms.get(state.weir.id) ?? null
    const plan = plans.get(state.weir.id)!
    const readied = { state, term, plan, feeds, fedBy: above, cannotSay: missingFor(state), cover: null }
    if (!known.includes(state)) return { ...readied, levelTodayM: null, coverWeir: null }
    const coverWeir = coverWeirOf({ state, term, plan, daysInWeek, feedsWeirId: feeds?.id ?? null })
    return { ...readied, levelTodayM: coverWeir.waterLevelM, coverWeir }
  })
  const weirs = readied.flatMap(({ coverWeir }) => (coverWeir ? [coverWeir] : []))
  const lateRainOn = states[0]?.lateRainOn
  if (weirs.length === 0 || !lateRainOn) return readied
  const covers = daysOfCover({ weirs, today: on, lateRainOn })
  return readied.map((one) => ({ ...one, cover: covers.find(({ weirId }) => weirId === one.state.weir.id) ?? null }))
}

type Given = Pick<CoverState, 'state' | 'term' | 'plan'> & { daysInWeek: number; feedsWeirId: Id<'weir'> | null }

function coverWeirOf({ state, term, plan, daysInWeek, feedsWeirId }: Given) {
  const { storage, survey, weir, since } = state
  if (storage.cannotSay) throw new RangeError('a weir whose storage is not known has no cover')
  const body: SandBody = state.body!
  const takenM3 = since.drawnM3 + since.drunkM3 + since.lostM3
  return {
    weirId: weir.id,
    feedsWeirId,
    body,
    offTakeLevelM: levelsOf(survey!).offTakeLevelM,
    waterLevelM: levelAfterTakingM({ body, waterLevelM: storage.waterLevelM, takenM3 }),
    levelErrorCm: storage.levelErrorCm,
    lowestLevelM: storage.lowestLevelM,
    loss: state.loss!,
    rise: state.store!.rise,
    extraWeeks: state.extraWeeks,
    leakShare: term?.leakShare ?? 0,
    dailyDrinkingM3: state.dailyDrinkingM3!,
    weeklyIrrigationM3: plan.volumeM3,
    daysInWeek,
  } satisfies CoverWeir
}

interface PlanInput {
  on: CalendarDate
  states: readonly WaterState[]
  terms: ReadonlyMap<string, StandingTerm>
  group: Group
}

/**
 * The mean of the last four published weeks that are over, by the log; before the first is over, the week that is planned. Each in
 * as many days as a whole week of the group has now.
 */
async function weeklyPlans(db: Database, { on, states, terms, group }: PlanInput): Promise<Map<string, WeeklyPlan>> {
  const starts = await publishedWeekStarts(db)
  const over = starts.filter((start) => weekEndOn(start, group) < on).slice(0, PLAN_WEEKS)
  const daysInWeek = wholeWeekDays(on, group)
  const inWeeks = (start: CalendarDate) => weekOf(start, group).days / daysInWeek
  const lastOn = over.length > 0 ? weekEndOn(over[0]!, group) : on
  const drawn = over.length > 0 ? await drawnBetween(db, over.at(-1)!, lastOn) : []
  const untyped = over.length > 0 ? await untypedTurns(db, { fromOn: over.at(-1)!, beforeOn: addDays(lastOn, 1) }) : []
  const coming = over.length === 0 ? starts[0] : undefined
  const planned = coming ? await plannedByWeir(db, coming) : new Map<string, number>()
  const isInWeeks = (date: CalendarDate) => over.includes(weekStartOf(date, group))
  return new Map(
    states.map(({ weir }): [string, WeeklyPlan] => {
      const own = terms.get(weir.id)?.weeklyPlanM3 ?? null
      if (own !== null) return [weir.id, { volumeM3: own, source: 'own', weeks: [], untyped: 0 }]
      if (coming)
        return [
          weir.id,
          { volumeM3: (planned.get(weir.id) ?? 0) / inWeeks(coming), source: 'planned', weeks: [coming], untyped: 0 },
        ]
      if (over.length === 0) return [weir.id, { volumeM3: 0, source: 'none', weeks: [], untyped: 0 }]
      const drawnM3 = sum(
        drawn.filter(({ weirId, use, onDate }) => weirId === weir.id && use === 'irrigation' && isInWeeks(onDate)),
        ({ volumeM3 }) => volumeM3,
      )
      const silent = untyped.filter(
        ({ weirId, plotId, onDate }) => weirId === weir.id && plotId !== null && isInWeeks(onDate),
      )
      const volumeM3 = (drawnM3 + sum(silent, (turn) => turn.volumeM3)) / sum(over, inWeeks)
      return [weir.id, { volumeM3, source: 'drawn', weeks: over, untyped: silent.length }]
    }),
  )
}
