import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { WeekPath, WeekRule, WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { levelAtM, type StorageModel } from '../../../domain/water/path/store.ts'
import { type StorePath, storePath } from '../../../domain/water/path/store-path.ts'
import { weekOf, weeksBetween, weeksFromTo } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import { missingFor, type WaterState, waterStates } from '../../water/storage/state.ts'
import { shutWeirsOn } from '../../water/stream/state.ts'
import { listPumps } from '../../works/pump/store.ts'
import type { RotationAsks } from '../asks.ts'
import { openTurns } from '../outcome/waiting-store.ts'
import { findPublishedWeek, type PublishedWeek, publishedStarts } from '../published/store.ts'
import { type KnownNeed, weirNeeds, withSpare } from './needs.ts'

interface Asked {
  group: Group
  weekStartOn: CalendarDate
  today: CalendarDate
  rule: Pick<WeekRule, 'sparePart'>
  needs: readonly KnownNeed[]
}

/** What each weir may give in the week by the path of its store, with the terms that it came from. */
export async function weekWeirs(db: Database, asks: RotationAsks, asked: Asked): Promise<WeekWeir[]> {
  const { weekStartOn, today } = asked
  const states = await waterStates(db, { on: today })
  const shut = await shutWeirsOn(db, today)
  const takenM3ByWeir = await takenBeforeWeek(db, asks, { states, weekStartOn, today })
  const lateRainOn = states[0]?.lateRainOn
  const weekDays = lateRainOn ? weekDaysUntil(lateRainOn, asked) : []
  const needs = lateRainOn ? await weirNeeds(db, { ...asked, weekDays }) : new Map<string, number[]>()
  const before = await weekBefore(db, asked)
  return states.map((state) => {
    const { id } = state.weir
    const needsM3 = needs.get(id) ?? []
    const takenM3 = takenM3ByWeir.get(id) ?? 0
    return weekWeir({
      state,
      needsM3,
      weekDays,
      takenM3,
      asked,
      isShut: shut.includes(id),
      before: pathBefore(before, id),
    })
  })
}

type Before = { path: WeekPath; weekStartOn: CalendarDate } | null

interface Given {
  state: WaterState
  needsM3: readonly number[]
  weekDays: readonly number[]
  takenM3: M3
  asked: Asked
  isShut: boolean
  before: Before
}

function weekWeir({ state, needsM3, weekDays, takenM3, asked, isShut, before }: Given): WeekWeir {
  const { weir, storage, store, lateRainOn, extraWeeks, reserve } = state
  const { id, number, name } = weir
  const { weekStartOn, rule, group } = asked
  const dailyDrinkingM3 = state.dailyDrinkingM3 ?? 0
  const drinkingM3 = dailyDrinkingM3 * weekOf(weekStartOn, group).days
  if (storage.cannotSay || !store || !reserve || lateRainOn === null) {
    return { id, number, name, releasableM3: 0, drinkingM3, working: null, cannotSay: missingFor(state) }
  }
  const path = storePath({
    store,
    storedM3: Math.max(0, storage.drainable.likelyM3 - takenM3),
    weekStartOn,
    daysInWeek: weekDays,
    lateRainOn,
    extraWeeks,
    dailyDrinkingM3,
    needsM3: needsM3.map((needM3) => withSpare(needM3, rule, drinkingM3)),
    before: heldBack({ before, store, storage, asked }),
  })
  const { availableM3, heldBy } = path
  const { grade, readOn } = storage
  const reserveM3 = keptM3(path)
  const working = {
    availableM3,
    takenM3,
    untyped: state.untyped,
    grade,
    readOn,
    reserveM3,
    lateRainOn,
    // Below its mark a weir is shut for crops; people and animals drink all the same.
    heldBy: isShut ? 'shut' : heldBy,
    path: frozen(path, { state, needM3: needsM3[0] ?? 0, before }),
  }
  const releasableM3 = isShut ? Math.min(path.releaseM3, drinkingM3) : path.releaseM3
  return { id, number, name, releasableM3, drinkingM3, working, cannotSay: [] }
}

/** Days of the week and of each one after it that begins before the rain. */
function weekDaysUntil(lateRainOn: CalendarDate, { group, weekStartOn }: Asked): number[] {
  const lastOn = addDays(lateRainOn, -1)
  return weeksFromTo(weekStartOn, lastOn > weekStartOn ? lastOn : weekStartOn, group).map(({ days }) => days)
}

/** Above the off-take, what is not for this week: drinking and loss to come, later weeks' crops and what is left over. */
function keptM3({ availableM3, releaseM3 }: StorePath): number {
  return availableM3 - releaseM3
}

function frozen(
  { share, bearableShare, parts, lostIfLeftM3, firstDryOn, keepUntilOn, weeks }: StorePath,
  { state, needM3, before }: { state: WaterState; needM3: M3; before: Before },
): WeekPath {
  const { extraWeeks, rise, store } = state
  return {
    share,
    bearableShare,
    shareBefore: before?.path.share ?? null,
    needM3,
    storedM3: weeks[0]!.storedM3,
    marginM3: store!.floorM3 - store!.offTakeM3,
    ...parts,
    lostIfLeftM3,
    firstDryOn,
    keepUntilOn,
    extraWeeks,
    lossRise: rise && rise.rise > 1 ? rise : null,
  }
}

/** The last week of this season that was published before. */
async function weekBefore(db: Database, { group, weekStartOn }: Asked): Promise<PublishedWeek | undefined> {
  const last = (await publishedStarts(db)).findLast((start) => start < weekStartOn)
  return last !== undefined && last >= group.seasonStartOn ? findPublishedWeek(db, last) : undefined
}

function pathBefore(week: PublishedWeek | undefined, weirId: Id<'weir'>): Before {
  const path = week?.inputs.weirs.find((one) => one.id === weirId)?.working?.path
  return week && path ? { path, weekStartOn: week.weekStartOn } : null
}

/** Beyond what two sticks can err by the water has risen, and then the rise of the share needs no holding back. */
const RISEN_M = 0.05

function heldBack(given: { before: Before; store: StorageModel; storage: { waterLevelM: number }; asked: Asked }) {
  const { before, store, storage, asked } = given
  if (!before || storage.waterLevelM > levelAtM(store, before.path.storedM3) + RISEN_M) return null
  return { share: before.path.share, weeksAgo: weeksBetween(before.weekStartOn, asked.weekStartOn, asked.group) }
}

/**
 * What leaves each weir between its last reading and the first day of the week: water for crops that was logged since,
 * turns of which nobody has written a word yet, turns still due, and drinking and loss of every day between. A week is planned with what will stand in the sand when
 * it begins, not with what stood there when somebody last looked.
 */
async function takenBeforeWeek(
  db: Database,
  asks: RotationAsks,
  { states, weekStartOn, today }: { states: readonly WaterState[]; weekStartOn: CalendarDate; today: string },
): Promise<Map<string, number>> {
  const read = states.flatMap(({ reading }) => (reading ? [reading.readOn] : []))
  if (read.length === 0) return new Map()
  const logged = await asks.draws(db, { fromOn: read.sort()[0]!, toOn: weekStartOn })
  const due = await openTurns(db, today, weekStartOn)
  const weirOfPump = new Map((await listPumps(db, today)).map((pump) => [pump.id, pump.weirId]))
  return new Map(
    states.map(({ weir, reading, untyped, dailyDrinkingM3, dailyLossM3 }) => {
      if (!reading) return [weir.id, 0]
      const days = Math.max(0, daysBetween(reading.readOn, weekStartOn))
      const drawn = logged.filter(
        (draw) =>
          draw.weirId === weir.id &&
          draw.onDate >= reading.readOn &&
          draw.onDate < weekStartOn &&
          !['drinking', 'stock'].includes(draw.use),
      )
      const toCome = due.filter((turn) => weirOfPump.get(turn.pumpId) === weir.id)
      const daily = ((dailyDrinkingM3 ?? 0) + dailyLossM3) * days
      return [weir.id, sum(drawn, volumeOf) + untyped.volumeM3 + sum(toCome, volumeOf) + daily]
    }),
  )
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
