import { beforeAll, expect, it } from 'vitest'
import { currentGroup } from '../../../server/people/group/store.ts'
import { describePlot, listPlots } from '../../../server/people/plot/store.ts'
import { freeThisWeek } from '../../../server/rotation/booking/state.ts'
import type { Desk } from '../../../server/web/pages/desk.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

// On Wednesday the pump at weir 1 stands still and the sun fails at the pump of weir 2.

const FRIDAY = '2026-11-27'
const SATURDAY = '2026-11-28'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeAll(async () => {
  valley = await openValley()
  await at(`${VALLEY_TODAY}T05:00`)
})

async function at(clock: string): Promise<void> {
  valley.setNow(`${clock}:00Z`)
  chair = await valley.signIn('amaru')
}

async function less(on: string, pump: string, fields: Record<string, string>) {
  const page = await chair.open(`/log/days/${on}`)
  return chair.send(page, { pumpId: optionValue(page, 'pumpId', pump), ...fields }, `/log/days/${on}/less`)
}

async function book(plot: string, outlet: string, fields: Record<string, string>) {
  const page = await chair.open('/turns/ask?as=free')
  const [plotId, outletId] = [optionValue(page, 'plotId', `${plot} `), optionValue(page, 'outletId', `${outlet} `)]
  return chair.send(page, { plotId, outletId, ...fields })
}

/** What is kept for plots that went short, as the page of free hours lists it: plot, volume and weir. */
async function keptNow(): Promise<number[][]> {
  const { words } = await chair.open('/turns/asked?as=free')
  return [...words.matchAll(/Plot (\d+) went short when the sun failed and may book ([\d.]+) m³ at weir (\d)/g)].map(
    ([, ...figures]) => figures.map(Number),
  )
}

/** What a member's first page tells of free water, in jerrycans. */
async function freeFor(name: string): Promise<string | undefined> {
  const { words } = await (await valley.signIn(name)).open('/')
  return /(\d+) jerrycans are free for it/.exec(words)?.[1]
}

/** The free hours of a pump on a day, as the same page lists them. */
async function hoursOf(day: string, pump: string): Promise<string[]> {
  const rows = (await chair.open('/turns/asked?as=free')).html.querySelectorAll('main tbody tr')
  const cells = rows.map((row) => row.querySelectorAll('th, td').map(({ text }) => text.trim()))
  return cells.filter(([on, , of]) => on === day && of!.includes(pump)).map(([, hours]) => hours!)
}

it('are kept for those whom the sun left short: what they missed, less what they booked since', async () => {
  // Booked before the sun failed, and so nothing of what plot 35 misses afterwards.
  await book('35', '11', { onDate: SATURDAY, start: '07:00', volume: '2' })
  await at(`${VALLEY_TODAY}T05:30`)
  await less(VALLEY_TODAY, 'Heron', { kind: 'down', since: '06:00' })
  const { words } = await less(VALLEY_TODAY, 'Hem', { kind: 'dull', since: '06:00' })
  const told = [...words.matchAll(/Plot (\d+): [^:]+ agreed at [\d:]+, now .+?\. ([\d.]+) m³ short/g)]
  // Four of pump 1, which nobody owes them, and three of pump 2.
  expect(told.map(([, ...figures]) => figures.map(Number)).slice(4)).toEqual([
    [39, 2.1],
    [35, 5.2],
    [13, 3.9],
  ])
  expect(await keptNow()).toEqual([
    [39, 2.1, 2],
    [35, 5.2, 2],
    [13, 3.9, 2],
  ])
  await at(`${VALLEY_TODAY}T06:00`)
  await book('13', '13', { onDate: FRIDAY, start: '14:00', volume: '3' })
  expect(await keptNow()).toEqual([
    [39, 2.1, 2],
    [35, 5.2, 2],
    [13, 0.9, 2],
  ])
})

it('of a weir are told to a member without what is kept for others', async () => {
  expect((await chair.open('/turns/asked?as=free')).words).toContain('Stone Hem: 20.3 m³ may still be booked')
  // More than the 6.9 m3 that are left of the part of plot 36.
  expect(await freeFor('hila')).toBe('340')
  await book('37', '13', { onDate: SATURDAY, start: '09:00', volume: '8' })
  expect((await chair.open('/turns/asked?as=free')).words).toContain('Stone Hem: 12.3 m³ may still be booked')
  // 12.3 - 2.1 - 5.2 - 0.9 = 4.1 m3 are 205 jerrycans, told in tens.
  expect(await freeFor('hila')).toBe('200')
  // What is kept for plot 35 is its own: 12.3 - 2.1 - 0.9 = 9.3 m3, more than the 7.5 m3 left of its part.
  const [group, plots] = [(await currentGroup(valley.db))!, await listPlots(valley.db, VALLEY_TODAY)]
  const desk = { db: valley.db, group, today: VALLEY_TODAY, at: `${VALLEY_TODAY}T06:00:00Z`, timeZone: group.timeZone }
  const own = plots.filter(({ number }) => number === 35)
  expect((await freeThisWeek(desk as unknown as Desk, own)).get(own[0]!.id)!.freeM3).toBeCloseTo(7.488, 3)
})

it('of two weirs are told by the one with more water', async () => {
  const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ number }) => number === 36)!
  const { entryId: outletId } = await valley.db
    .selectFrom('outlet')
    .select('entryId')
    .where('number', '=', 17)
    .executeTakeFirstOrThrow()
  const { entryId: writtenBy } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'amaru')
    .executeTakeFirstOrThrow()
  const pen = { writtenBy, writtenAt: `${VALLEY_TODAY}T06:00:00.000Z` }
  const detail = { ...plot, outletIds: [...plot.outletIds, outletId], fromOn: VALLEY_TODAY }
  await valley.db.transaction().execute((trx) => describePlot({ trx, ...pen }, plot.id, detail))
  // The 4.1 m3 of Stone Hem are less than its part, those of Old Crossing more.
  expect(await freeFor('hila')).toBe('340')
})

it('of a pump that stands still are those until it stops and from the hour at which it runs again', async () => {
  expect(await hoursOf('Friday 27 November', 'Crossing')).toEqual(['07:00–17:00'])
  await less(FRIDAY, 'Crossing', { kind: 'down', since: '10:00', until: '13:00' })
  expect(await hoursOf('Friday 27 November', 'Crossing')).toEqual(['07:00–10:00', '13:00–17:00'])
})

it('are booked from the next minute on', async () => {
  await at(`${FRIDAY}T12:00`)
  const isOver = async (start: string) =>
    (await book('37', '13', { onDate: FRIDAY, start, volume: '900' })).words.includes('This hour is over.')
  expect([await isOver('11:59'), await isOver('12:00'), await isOver('12:01')]).toEqual([true, true, false])
})

it('are told from the next full five minutes on, as long as some of them are left', async () => {
  await at(`${FRIDAY}T16:54`)
  expect(await hoursOf('Friday 27 November', 'Crossing')).toEqual(['16:55–17:00'])
  await at(`${FRIDAY}T16:55`)
  expect(await hoursOf('Friday 27 November', 'Crossing')).toEqual([])
})
