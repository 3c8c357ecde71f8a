import { extent, group } from 'd3-array'
import { plausibility } from '../../../domain/abstractions/plausibility/flags.ts'
import type { Flag, OtherTurn } from '../../../domain/abstractions/plausibility/logged-turn.ts'
import type { Id } from '../../../domain/id.ts'
import { kept } from '../../book/kept-answers.ts'
import { askTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { type PlannedTurn, turnsOfIds } from '../../rotation/published/listed-store.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Translate, Values } from '../../web/figures/locale.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { tankReadingRows } from '../../works/tank/store.ts'
import { factsOf, outletMark } from '../draw/facts.ts'
import { lastClosing, type MeterRead, meterReadsOf, neighboursOf } from '../draw/meter-store.ts'
import { type DrawMore, moreOf } from '../draw/more-store.ts'
import { type Abstraction, listAbstractions } from '../draw/store.ts'
import { placeOfDraw, type Works, worksOn } from '../place/store.ts'
import { clockJumps } from './clock-jumps.ts'
import {
  type Filling,
  fillingsAround,
  isWritten,
  type Unmetered,
  unmeteredAround,
  withoutTanks,
} from './filling-store.ts'
import { gaveMoreThanSaid, saidGiven } from './given-store.ts'
import type { LogFlag } from './log-flag.ts'
import { saidOfPeople } from './people-store.ts'
import { slipsTwice } from './slip-store.ts'
import { type DrinkingTank, drinkingTanks, fromDrinkingTank } from './tank-store.ts'

/** What is odd about each standing draw, by its id, day by day. Nothing is stored: a correction takes its flags away. */
export function flagsOfDraws(db: Database, { draws, timeZone }: DrawsAsked): Promise<Map<string, LogFlag[]>> {
  const ids = draws.map((draw) => draw.id)
  return kept(db, 'flags', { ids, timeZone }, () => judgeDraws(db, { draws, timeZone }))
}

interface DrawsAsked {
  draws: readonly Abstraction[]
  timeZone: string
}

async function judgeDraws(db: Database, { draws, timeZone }: DrawsAsked): Promise<Map<string, LogFlag[]>> {
  const [fromOn, toOn] = extent(draws, ({ onDate }) => onDate)
  if (fromOn === undefined) return new Map()
  const days = { fromOn, toOn }
  const [turns, fillings, unmetered, said, levels] = await askTogether(
    db,
    turnsOfIds(db, [...new Set(draws.flatMap((draw) => draw.turnId ?? []))]),
    fillingsAround(db, days),
    unmeteredAround(db, days),
    saidGiven(db, days),
    tankReadingRows(db, days),
  )
  const reads = await readsOf(db, draws)
  const book = {
    timeZone,
    reads,
    turns: new Map(turns.map((turn) => [turn.id, turn])),
    fillings,
    unmetered: await withoutTanks(db, unmetered, toOn),
    jumps: await clockJumps(db),
    slips: await slipsTwice(db),
    people: await saidOfPeople(db, draws),
    given: await gaveMoreThanSaid(db, { draws, said, reads, timeZone }),
    more: await moreOf(
      db,
      draws.map((draw) => draw.id),
    ),
  }
  const flags = new Map<string, LogFlag[]>()
  const tanksOn = await drinkingTanks(db, levels)
  for (const [on, ofDay] of group(draws, (draw) => draw.onDate)) {
    const works = await worksOn(db, on)
    const tanks = await tanksOn(on)
    for (const [id, list] of flagsOfDay(ofDay, { ...book, works, tanks })) flags.set(id, list)
  }
  return flags
}

interface DayBook {
  works: Works
  timeZone: string
  reads: ReadonlyMap<string, readonly MeterRead[]>
  turns: Map<string, PlannedTurn>
  more: Map<string, DrawMore>
  fillings: Filling[]
  unmetered: Unmetered[]
  jumps: Map<string, string>
  slips: Map<string, number>
  people: Map<string, LogFlag>
  given: Map<string, LogFlag>
  tanks: DrinkingTank[]
}

function flagsOfDay(
  draws: readonly Abstraction[],
  { works, timeZone, reads, turns, more, fillings, unmetered, jumps, slips, people, given, tanks }: DayBook,
) {
  const logged = group(draws, (draw) => draw.turnId)
  const others = draws.flatMap((draw) => otherTurn(draw, timeZone))
  return draws.map((draw): [string, LogFlag[]] => {
    const { before, own, after } = neighboursOf(reads.get(draw.pumpId ?? '') ?? [], draw.id)
    const tool = more.get(draw.id)?.tool
    const replaced = tool?.oldLastM3 != null
    const facts = factsOf(
      { ...draw, replaced },
      {
        place: placeOfDraw(works, draw),
        plan: draw.turnId === null ? undefined : turns.get(draw.turnId),
        timeZone,
        writtenAt: draw.writtenAt,
        happenedAt: draw.happenedAt,
        previousWrittenAt: jumps.get(draw.id),
        previousClosingM3: before?.closingM3,
        nextOpeningM3: after?.openingM3,
        startUnread: own?.startUnread,
        nextStartUnread: after?.startUnread,
        others: others.filter((other) => other.id !== draw.id),
      },
    )
    const twice = draw.turnId !== null && logged.get(draw.turnId)!.length > 1
    const odd = plausibility(facts)
      // One matter, one line: the next draw tells of the gap before it.
      .filter(({ code }) => code !== 'gap-to-next-reading' || (after?.replaced ?? true))
      .filter((flag) => !isWritten(flag, { draw, before, fillings, unmetered }))
      .map((flag) => withCounted(flag, draw))
    const ofTank = fromDrinkingTank(draw, tanks, works)
    const told = [people, given].flatMap((of) => of.get(draw.id) ?? [])
    const ofLine = [...(twice ? [LOGGED_TWICE] : []), ...slipTwice(slips.get(draw.id)), ...meterChanged(tool)]
    const all: LogFlag[] = [...odd, ...ofTank, ...ofLine, ...told]
    const beside = { before, after, ofTurn: logged.get(draw.turnId) ?? [], slips }
    return [draw.id, all.map((flag) => ({ ...flag, otherIds: flag.otherIds ?? othersOf(flag, draw.id, beside) }))]
  })
}

interface Beside {
  before: MeterRead | undefined
  after: MeterRead | undefined
  ofTurn: readonly Abstraction[]
  slips: ReadonlyMap<string, number>
}

/** The other entries that a matter of a draw is about: whoever wrote one of them has said their part in it too. */
function othersOf({ code, values }: LogFlag, id: string, { before, after, ofTurn, slips }: Beside): string[] {
  if (code === 'gap-to-last-reading') return before ? [before.id] : []
  if (code === 'gap-to-next-reading') return after ? [after.id] : []
  if (code === 'overlaps-another-turn') return [String(values.otherId)]
  if (code === 'turn-logged-twice') return ofTurn.flatMap((draw) => (draw.id === id ? [] : draw.id))
  if (code !== 'slip-number-twice') return []
  return [...slips].flatMap(([other, slipNo]) => (other !== id && slipNo === slips.get(id) ? other : []))
}

/** Whether an absurd volume counts: readings are set aside, but hours and amounts are taken, and so is what was looked at again. */
function withCounted(flag: Flag, { volumeM3 }: Abstraction): Flag {
  if (flag.code !== 'more-than-a-pump-day') return flag
  const isCounted = volumeM3 >= Number(flag.values.volumeM3)
  return { ...flag, values: { ...flag.values, counted: isCounted ? 'yes' : 'no' } }
}

function slipTwice(number: number | undefined): LogFlag[] {
  if (number === undefined) return []
  return [{ code: 'slip-number-twice', likelyCause: 'slip-misread', values: { slipNo: String(number) } }]
}

/** The two readings of a meter that was replaced within a draw hide water as well as a new meter does, which waits for a name. */
function meterChanged(tool: DrawMore['tool'] | undefined): LogFlag[] {
  if (tool?.oldLastM3 == null || tool.newFirstM3 === null) return []
  const { oldLastM3, newFirstM3 } = tool
  return [{ code: 'meter-changed', likelyCause: 'one-saw-both', values: { oldLastM3, newFirstM3 } }]
}

const LOGGED_TWICE: LogFlag = { code: 'turn-logged-twice', likelyCause: 'written-twice', values: {} }

function readsOf(db: Database, draws: readonly Abstraction[]): Promise<ReadonlyMap<string, readonly MeterRead[]>> {
  const metered = draws.filter((draw) => draw.method === 'meter' && draw.pumpId !== null)
  return meterReadsOf(db, [...new Set(metered.map((draw) => draw.pumpId!))])
}

function otherTurn(draw: Abstraction, timeZone: string): OtherTurn[] {
  const startAt = draw.startTime && localInstant(draw.onDate, draw.startTime, timeZone)
  const stopAt = draw.endTime && localInstant(draw.onDate, draw.endTime, timeZone)
  if (!startAt || !stopAt) return []
  const meter = draw.method === 'meter' && draw.pumpId ? { meterId: draw.pumpId } : {}
  return [{ id: draw.id, outletId: outletMark(draw.outletNumber, draw.id), startAt, stopAt, ...meter }]
}

interface FlagWords {
  what: string
  cause: string
  /** The other entry that it has to do with. */
  otherId: string | null
}

export function flagWords(t: Translate, f: Format, { code, likelyCause, values }: LogFlag): FlagWords {
  const suggested = values.suggestedClosingM3 ?? values.suggestedOpeningM3 ?? values.suggestedM3
  const shown: Values = { suggested: suggested === undefined ? '' : f.toLitre(Number(suggested)) }
  for (const [name, value] of Object.entries(values)) shown[name] = shownValue(f, name, value)
  return {
    what: t(`abstractions.flag.${code}`, shown),
    cause: t(`abstractions.cause.${likelyCause}`, shown),
    otherId: typeof values.otherId === 'string' ? values.otherId : null,
  }
}

function shownValue(f: Format, name: string, value: string | number): string {
  if (typeof value === 'string') return /^at$|At$/.test(name) ? f.instant(value) : value
  if (name.endsWith('M3PerH')) return f.one(value)
  return name.endsWith('M3') ? f.toLitre(value) : f.whole(value)
}

/** Why the last closing of a pump may be wrong, in words; null while nothing about it is odd. */
export async function doubtOfLast({ db, timeZone, t, format }: Desk, pumpId: Id<'pump'>): Promise<string | null> {
  const last = await lastClosing(db, pumpId)
  if (!last?.isDraw) return null
  const draws = await listAbstractions(db, { fromOn: last.onDate, toOn: last.onDate })
  const flags = (await flagsOfDraws(db, { draws, timeZone })).get(last.id) ?? []
  const doubt = flags.find(({ code }) => CLOSING_DOUBTED.includes(code))
  if (!doubt) return null
  const { what, cause } = flagWords(t, format, doubt)
  return t('abstractions.meter.last-doubted', { words: `${what} ${cause}` })
}

/** What speaks against a closing reading itself. */
const CLOSING_DOUBTED = [
  'closing-below-opening',
  'reading-longer-than-meter',
  'faster-than-pump',
  'faster-than-outlet',
  'more-than-a-pump-day',
] as const satisfies readonly string[] as readonly string[]
