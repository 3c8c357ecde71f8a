import { group } from 'd3-array'
import type { Id } from '../../../domain/id.ts'
import { type HouseholdFacts, householdsOn } from '../../../domain/people/household.ts'
import { type M3, MINUTES_PER_DAY } from '../../../domain/units.ts'
import { householdFacts } from '../../book/names/household.ts'
import { inForce } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type PlannedTurn, turnsBetween } from '../../rotation/published/listed-store.ts'
import { minuteOf } from '../draw/facts.ts'
import type { Abstraction } from '../draw/store.ts'
import type { LogFlag } from './log-flag.ts'

/** What a draw says of people that only its writer says: who is charged for it, or that the own household is not. */
export async function saidOfPeople(db: Database, draws: readonly Abstraction[]): Promise<Map<string, LogFlag>> {
  const named = await takenByOthers(db, draws)
  const offList = draws.filter(({ turnId, outletId }) => turnId === null && outletId !== null)
  if (named.length + offList.length === 0) return new Map()
  const facts = await householdFacts(db)
  return new Map([
    ...strangers(named, facts),
    ...(await atOwnOutlet(db, offList, facts)),
    ...(await inOwnTurn(db, offList, facts)),
  ])
}

/** Draws of a plot with a taker who does not hold it. */
async function takenByOthers(db: Database, draws: readonly Abstraction[]): Promise<Abstraction[]> {
  const named = draws.filter(({ takerId, plotId }) => takerId !== null && plotId !== null)
  const others = []
  for (const [on, ofDay] of group(named, ({ onDate }) => onDate)) {
    const plots = new Map((await listPlots(db, on)).map(({ id, holders }) => [id, holders]))
    others.push(...ofDay.filter(({ plotId, takerId }) => !plots.get(plotId!)?.some(({ id }) => id === takerId)))
  }
  return others
}

/** Charged to somebody who neither holds the plot nor is of that household. */
function strangers(draws: readonly Abstraction[], facts: HouseholdFacts): [string, LogFlag][] {
  return [...group(draws, ({ onDate }) => onDate)].flatMap(([on, ofDay]) => {
    const householdOf = householdsOn(facts, on)
    return ofDay
      .filter(({ plotId, takerId }) => !householdOf(holdersOn(facts, plotId!, on)).includes(takerId!))
      .map(({ id, takerName, plotNumber }): [string, LogFlag] => [
        id,
        { code: 'taker-of-no-plot', likelyCause: 'ask-the-taker', values: { name: takerName!, plot: plotNumber! } },
      ])
  })
}

/**
 * Water off the list for somebody else, or for nobody's account, at the outlet and in the hours, or without hours on the day, of a turn of the
 * writer's own household.
 */
async function inOwnTurn(
  db: Database,
  draws: readonly Abstraction[],
  facts: HouseholdFacts,
): Promise<[string, LogFlag][]> {
  if (draws.length === 0) return []
  const days = draws.map(({ onDate }) => onDate).toSorted()
  const turns = await turnsBetween(db, { fromOn: days[0]!, toOn: days.at(-1)! })
  const beside = draws.flatMap((draw) => turns.filter((turn) => overlaps(draw, turn)).map((turn) => ({ draw, turn })))
  const writers = await writersOf(
    db,
    beside.map(({ draw }) => draw.id),
  )
  return beside
    .filter(({ draw: { id, onDate, plotId }, turn }) => {
      const householdOf = householdsOn(facts, onDate)
      const isOwn = (plot: Id<'plot'> | null) =>
        plot !== null && householdOf(holdersOn(facts, plot, onDate)).includes(writers.get(id)!)
      return isOwn(turn.plotId) && !isOwn(plotId)
    })
    .map(({ draw, turn }): [string, LogFlag] => [
      draw.id,
      { code: 'in-own-turn', likelyCause: 'ask-at-the-outlet', values: { plot: turn.plotNumber! } },
    ])
}

/** A line that is flushed holds less. Own choice, no source. */
const MORE_THAN_A_FLUSH_M3: M3 = 1

/** Water for nobody's account, and more than a flush, at an outlet that reaches a plot of the writer's own household, at whatever hour. */
async function atOwnOutlet(
  db: Database,
  offList: readonly Abstraction[],
  facts: HouseholdFacts,
): Promise<[string, LogFlag][]> {
  const draws = offList.filter(({ plotId, volumeM3 }) => plotId === null && volumeM3 > MORE_THAN_A_FLUSH_M3)
  const writers = await writersOf(
    db,
    draws.map(({ id }) => id),
  )
  const found: [string, LogFlag][] = []
  for (const [on, ofDay] of group(draws, ({ onDate }) => onDate)) {
    const householdOf = householdsOn(facts, on)
    const plots = await listPlots(db, on)
    for (const { id, outletId } of ofDay) {
      const own = plots.find(
        (plot) =>
          plot.outletIds.includes(outletId!) && householdOf(holdersOn(facts, plot.id, on)).includes(writers.get(id)!),
      )
      if (!own) continue
      found.push([id, { code: 'at-own-outlet', likelyCause: 'ask-at-the-outlet', values: { plot: own.number } }])
    }
  }
  return found
}

function overlaps({ outletId, onDate, startTime, endTime }: Abstraction, turn: PlannedTurn): boolean {
  if (turn.outletId !== outletId || turn.onDate !== onDate) return false
  const from = startTime === null ? 0 : minuteOf(startTime)
  const to = endTime === null ? MINUTES_PER_DAY : minuteOf(endTime)
  return from < turn.endMinute && turn.startMinute < to
}

function holdersOn({ held }: HouseholdFacts, plotId: Id<'plot'>, on: string): readonly Id<'person'>[] {
  const own = held.filter((one) => one.plotId === plotId)
  return inForce(own, on)?.personIds ?? []
}

async function writersOf(db: Database, ids: readonly string[]): Promise<Map<string, Id<'person'>>> {
  if (ids.length === 0) return new Map()
  const rows = await db
    .selectFrom('entry')
    .select(['id', 'writtenBy'])
    .where('id', 'in', ids as string[])
    .execute()
  return new Map(rows.map(({ id, writtenBy }) => [id, writtenBy]))
}
