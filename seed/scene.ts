import { addDays } from '../domain/calendar.ts'
import type { Group } from '../domain/people/group.ts'
import { weekStartOf } from '../domain/weeks.ts'
import type { Pen } from '../server/book/entries.ts'
import type { Database } from '../server/database/connection.ts'
import type { Plot } from '../server/people/plot/store.ts'
import type { Weir } from '../server/water/weir/store.ts'
import type { Outlet, Pump } from '../server/works/pump/store.ts'
import { Chance } from './chance.ts'
import { VALLEY } from './valley.ts'
import { type SeedDay, seedWeather } from './weather.ts'

const PAST_WEEKS = 16
const WEEKS_TO_COME = 6
/** Weather is written from two weeks before the season, so that the first week's need can be reckoned. */
const DAYS_BEFORE = 16

/** Where the story stands: the book it is written into, its dates, its chance, and who is who. */
export interface Scene {
  trx: Pen['trx']
  today: string
  group: Group
  /** Mondays of the season up to the running week. */
  weeks: string[]
  weather: SeedDay[]
  chance: Chance
  /** A chance of its own for ids, so that one more entry changes no weather. */
  ids: Chance
  /** Person ids by name. */
  persons: Map<string, string>
}

/** The works of the valley as the book holds them. */
export interface Works {
  weirs: readonly Weir[]
  pumps: Pump[]
  outlets: Outlet[]
  plots: readonly Plot[]
}

/** The season lies around the day on which the example is opened, so that its last readings are fresh. */
export function openScene(trx: Database, today: string): Scene {
  const thisWeek = weekStartOf(today, VALLEY)
  const seasonStartOn = addDays(thisWeek, -7 * PAST_WEEKS)
  const chance = new Chance(20_260_611)
  return {
    trx: trx as Pen['trx'],
    today,
    group: { ...VALLEY, seasonStartOn, seasonEndOn: addDays(thisWeek, 7 * WEEKS_TO_COME + 6) },
    weeks: Array.from({ length: PAST_WEEKS + 1 }, (_, week) => addDays(seasonStartOn, 7 * week)),
    weather: seedWeather(chance, addDays(seasonStartOn, -DAYS_BEFORE), addDays(today, -1)),
    chance,
    ids: new Chance(7),
    persons: new Map(),
  }
}

/** A pen in somebody's hand at a local time; the valley's clock is UTC. */
export function penOf(scene: Scene, name: string, on: string, at: string): Pen {
  const writtenBy = scene.persons.get(name)
  if (!writtenBy) throw new RangeError(`nobody is called ${name}`)
  return { trx: scene.trx, writtenBy, writtenAt: `${on}T${at}:00.000Z`, nextId: () => scene.ids.id() }
}
