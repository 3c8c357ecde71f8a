import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { namesShown } from '../../web/pages/names.ts'
import { drawnBetween } from '../storage/seen-store.ts'
import { listWeirs } from '../weir/store.ts'
import { listSetAsides, type RestDay, type SetAside, settledRest } from './rest-store.ts'
import { NO_SHARE, type StreamShare, streamShareOn, streamSharesToCome } from './store.ts'

interface Plate {
  id: Id<'weir'>
  number: number
}

/** The rest days as their page shows them: what holds, what comes, what is asked to be set aside, and how they were kept. */
export async function restsShown(desk: Desk) {
  const { db, today } = desk
  const weirs = await listWeirs(db)
  const rests = await keptRests(db, today)
  const asides = (await listSetAsides(db)).filter(({ on }) => on >= today)
  const shown = (share: StreamShare) => ({ ...share, weirs: named(weirs, share.restWeirIds) })
  return {
    share: shown((await streamShareOn(db, today)) ?? NO_SHARE),
    toCome: (await streamSharesToCome(db, today)).map(shown),
    today: restOf(today, rests, weirs),
    past: rests.filter(({ on }) => on !== today).map((rest) => ({ ...rest, past: stateOf(rest, 'kept') })),
    asides: await Promise.all(
      asides.map(async (one) => ({
        ...one,
        weirs: named(weirs, one.weirId === null ? [] : [one.weirId]),
        under: one.names.join(', '),
        names: await namesShown(desk, one.id),
      })),
    ),
  }
}

/** The rest of today with what the log shows so far; null where nothing rests. */
export async function restToday({ db, today }: Pick<Desk, 'db' | 'today'>) {
  return restOf(today, await keptRests(db, today), await listWeirs(db))
}

function restOf(today: string, rests: readonly KeptRest[], weirs: readonly Plate[]) {
  const rest = rests.find(({ on }) => on === today)
  if (!rest) return null
  return { ...rest, ...named(weirs, rest.isAll ? [] : rest.weirIds), today: stateOf(rest, 'kept-so-far') }
}

function stateOf({ setAside, drawnM3 }: KeptRest, kept: string): string {
  return setAside ? 'aside' : drawnM3 > 0 ? 'broken' : kept
}

/** Weirs by their plates; none means every weir. */
function named(weirs: readonly Plate[], ids: readonly Id<'weir'>[]) {
  const numbers = weirs.filter(({ id }) => ids.includes(id)).map(({ number }) => number)
  return { which: numbers.join(', '), all: ids.length === 0 ? 'yes' : 'no' }
}

/** So many days back the log is held against the rest days. */
const DAYS_LOOKED_AT = 28

/** A rest day that has come, and what the log shows of it. */
interface KeptRest extends RestDay {
  /** Drawn for crops from the weirs that were to rest, m3. */
  drawnM3: M3
  /** With two other names; what was drawn then breaks nothing. */
  setAside: SetAside | null
}

/** The rest days of the last four weeks, today among them, the newest first. */
async function keptRests(db: Database, today: CalendarDate): Promise<KeptRest[]> {
  const fromOn = addDays(today, 1 - DAYS_LOOKED_AT)
  const drawn = (await drawnBetween(db, fromOn, today)).filter(({ use }) => use === 'irrigation')
  const asides = (await listSetAsides(db)).filter(({ holds }) => holds)
  const weirIds = (await listWeirs(db)).map(({ id }) => id)
  const rests: KeptRest[] = []
  for (const on of datesFromTo(fromOn, today)) {
    const rest = await settledRest(db, on, weirIds)
    if (!rest) continue
    const fromResting = drawn.filter((one) => one.onDate === on && rest.weirIds.includes(one.weirId))
    rests.push({
      ...rest,
      drawnM3: sum(fromResting, ({ volumeM3 }) => volumeM3),
      setAside: asides.find((one) => one.on === on) ?? null,
    })
  }
  return rests.reverse()
}
