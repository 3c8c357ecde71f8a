import { addDays, datesFromTo } from '../../domain/calendar.ts'
import { planWeek } from '../../domain/rotation/draft/plan.ts'
import type { Pen } from '../../server/book/entries.ts'
import type { Database } from '../../server/database/connection.ts'
import { addPerson } from '../../server/people/person/store.ts'
import { addPlot } from '../../server/people/plot/store.ts'
import { agreedTurns, publishWeek } from '../../server/rotation/published/store.ts'
import { addLevelReading } from '../../server/water/level/store.ts'
import { addWeir } from '../../server/water/sand/description-store.ts'
import { setWaterSetting } from '../../server/water/users/store.ts'
import { addWeatherDay } from '../../server/water/weather/store.ts'
import { addFlowTest, addOutlet, addPump } from '../../server/works/pump/store.ts'
import { ruleWeek, WEEK_ON } from '../rotation/rule/week.ts'
import { begunBook } from '../support/book.ts'
import type { Seen, Visitor } from '../support/visitor.ts'

const PUMP = { usualFlowM3PerH: 3, meterDigits: 5, outletsAtOnce: 1, usualDayM3: null }

/** The app's day in these tests: Thursday 11 June 2026, five in the afternoon in Nairobi. */
export const TODAY = '2026-06-11'
const NOW = '2026-06-11T14:00:00Z'

/**
 * One weir, one pump with a 5-digit meter, outlet 3 tested at 2 m3/h, plot 7 held by Bela, and Chidi, a member.
 * Sand: rectangle valley 15 m wide, 2 m deep, bed slope 0.01, coarse sand (likely yield 0.27); the mark is 0.5 m above
 * the crest. By the wedge law the wet sand below a depth d at the wall is 15 d2 / (2 x 0.01) = 750 d2, so that
 * 202.5 d2 m3 of water drain from it.
 */
export async function abstractionsBook({ lossCmPerDay = null }: { lossCmPerDay?: number | null } = {}) {
  const { ids, ...book } = await begunBook(`abstractions, loss ${lossCmPerDay}`, NOW, async ({ db }) => {
    const { entryId: adaId } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
    return { ...(await writingIn(db, adaId)((pen) => layWorks(pen, lossCmPerDay))), adaId }
  })
  return { ...book, ...ids, writing: writingIn(book.db, ids.adaId) }
}

function writingIn(db: Database, writtenBy: string) {
  return <T>(work: (pen: Pen) => Promise<T>) =>
    db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt: NOW }))
}

async function layWorks(pen: Pen, lossCmPerDay: number | null) {
  const fromOn = '2026-06-01'
  const weirId = await addWeir(pen, {
    number: 1,
    name: 'Fig tree',
    distanceM: 0,
    fromOn,
    crestLevelM: 100,
    crestHeightM: 2,
    crestWidthM: 15,
    bedSlope: 0.01,
    valleyShape: 'rectangle',
    sandType: 'coarse-sand',
    offTakeAboveBedM: 0.2,
    markAboveCrestM: 0.5,
    lossCmPerDay,
  })
  const pump = { number: 1, name: 'Lower', weirId, firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250, fromOn }
  const pumpId = await addPump(pen, { ...pump, ...PUMP })
  const outletId = await addOutlet(pen, { number: 3, name: 'Bend', pumpId })
  await addFlowTest(pen, { outletId, testedOn: fromOn, flowM3PerH: 2 })
  const person = { phone: null, signInName: null, roles: ['member'], passwordHash: null }
  const belaId = await addPerson(pen, { ...person, number: 2, name: 'Bela' }, fromOn)
  const chidiId = await addPerson(pen, { ...person, number: 3, name: 'Chidi' }, fromOn)
  const plot = { areaM2: 800, soil: 'loam', method: 'drip', shares: 1, outletIds: [outletId], fromOn }
  const plotId = await addPlot(pen, { ...plot, number: 7, name: 'Mango', holderIds: [belaId] })
  await setWaterSetting(pen, { fromOn, lateRainOn: '2026-11-15', wetRainMm: 10 })
  return { weirId, pumpId, outletId, plotId, belaId, chidiId }
}

type Ids = Awaited<ReturnType<typeof layWorks>>

/** A week that was published with one turn: 4 m3 for plot 7 from 08:00 to 10:00. */
export async function addTurn(pen: Pen, ids: Ids, on = TODAY, weekStartOn = WEEK_ON): Promise<string> {
  return (await addTurns(pen, ids, [480], { on, weekStartOn }))[0]!
}

/** A week that was published with turns of two hours for plot 7, which begin at these minutes of one day. */
export async function addTurns(
  pen: Pen,
  { weirId, plotId, outletId, pumpId }: Ids,
  starts: readonly number[],
  { on = TODAY, weekStartOn = WEEK_ON } = {},
): Promise<string[]> {
  const plain = ruleWeek({ plots: {} })
  const inputs = {
    ...plain,
    weirs: [{ id: weirId, number: 1, name: 'Fig tree', releasableM3: 20, drinkingM3: 0, working: null, cannotSay: [] }],
    pumps: [{ ...plain.pumps[0]!, id: pumpId, number: 1, name: 'Lower', weirId }],
    outlets: [{ id: outletId, number: 3, name: 'Bend', pumpId, flowM3PerH: 2 }],
    plots: [
      {
        id: plotId,
        number: 7,
        name: 'Mango',
        holders: ['Bela'],
        areaM2: 800,
        shares: 1,
        persons: 0,
        outletIds: [outletId],
      },
    ],
  }
  const turns = starts.map((startMinute, at) => ({
    ...{ id: `${plotId}/${outletId}/${on}/${at}`, claimId: plotId, plotId, outletId, pumpId, on, order: at + 1 },
    ...{ startMinute, endMinute: startMinute + 120, volumeM3: 4, hours: 2, burdens: [] },
  }))
  const days = datesFromTo(weekStartOn, addDays(weekStartOn, 6))
  const id = await publishWeek(pen, { ...inputs, weekStartOn, days }, { ...planWeek(inputs), turns })
  return (await agreedTurns(pen.trx, [id]).orderBy('startMinute').execute()).map((turn) => turn.id)
}

/** A careful reading at half past six, the pump off since the evening before. */
export async function addDawnLevel(pen: Pen, weirId: string, readOn: string, depthCm: number): Promise<void> {
  await addLevelReading(pen, {
    weirId,
    readOn,
    readAt: '06:30',
    happenedAt: `${readOn}T03:30:00.000Z`,
    depthCm,
    readerId: null,
    pumpOffSinceAt: `${addDays(readOn, -1)}T14:00:00.000Z`,
    pumpRunning: false,
    flowSeen: false,
    remark: null,
  })
}

export async function addDryDays(pen: Pen, fromOn: string, days: number): Promise<void> {
  for (let day = 0; day < days; day += 1) await addWeatherDay(pen, { onDate: addDays(fromOn, day), rainMm: 0 })
}

/** The cells of rows as the form of a page of paper names them. */
export function cells(rows: Record<string, string>[]): Record<string, string> {
  const named = rows.flatMap((row, at) => Object.entries(row).map(([name, value]) => [`${at + 1}.${name}`, value]))
  return Object.fromEntries(named)
}

export async function typePage(
  visitor: Visitor,
  book: string,
  pageNo: string,
  rows: Record<string, string>[],
): Promise<Seen> {
  return visitor.fill(`/paper/${book}/type`, { pageNo, ...cells(rows) })
}
