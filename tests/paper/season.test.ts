import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { PASSWORD } from '../../seed/load.ts'
import { pumpWater } from '../../server/abstractions/balance/pump-balance-store.ts'
import { moreOf } from '../../server/abstractions/draw/more-store.ts'
import { type Abstraction, listAbstractions } from '../../server/abstractions/draw/store.ts'
import { bringApart } from '../../server/book/check/apart.ts'
import type { WholeEntry } from '../../server/book/merge/whole-entry.ts'
import { appendWhole, readBook } from '../../server/book/merge/whole-entry.ts'
import { verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { listReadings } from '../../server/water/level/store.ts'
import { weatherDays } from '../../server/water/weather/store.ts'
import { listWeirs } from '../../server/water/weir/store.ts'
import { listPumps } from '../../server/works/pump/store.ts'
import { pumpReadings, tankDays } from '../../server/works/tank/store.ts'
import { openBook, type TestBook } from '../support/book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

/** What the attendants write down day by day; works, people, plans and published weeks stand in both books. */
const LOGGED = ['abstraction', 'levelReading', 'weatherDay', 'pumpDayReading', 'tankReading', 'tankDay']
const NOW = `${VALLEY_TODAY}T10:00:00Z`
const ROWS_OF_A_PAGE = 16

type Cells = Record<string, string>
let logged: TestBook
let paper: TestBook
let span: { fromOn: string; toOn: string }

/** Two books of the example valley with its works and published weeks: one with the log of its season, one without any. */
beforeAll(async () => {
  const valley = await openValley()
  const group = (await currentGroup(valley.db))!
  span = { fromOn: addDays(group.seasonStartOn, -20), toOn: addDays(VALLEY_TODAY, -1) }
  const entries = await readBook(valley.db)
  logged = await bookOf(valley.db, entries, (whole) => isWorks(whole) || isLog(whole))
  paper = await bookOf(valley.db, entries, isWorks)
})
afterAll(async () => {
  await Promise.all([logged.db.destroy(), paper.db.destroy()])
})

const MONEY = /^(transfer|account|tariff|receipt|count|cash|opening|approval|voucher|relief)/

function isWorks({ facts }: WholeEntry): boolean {
  return facts.length > 0 && facts.every(([table]) => !LOGGED.includes(table) && !MONEY.test(table))
}

function isLog({ facts }: WholeEntry): boolean {
  return facts.some(([table]) => LOGGED.includes(table))
}

async function bookOf(
  from: Database,
  entries: readonly WholeEntry[],
  keeps: (whole: WholeEntry) => boolean,
): Promise<TestBook> {
  const book = await openBook(NOW)
  await book.db.transaction().execute(async (trx) => {
    for (const whole of entries) if (keeps(whole)) await appendWhole(trx, whole)
    await bringApart(trx, from)
  })
  return book
}

async function attendantOf(book: TestBook): Promise<Visitor> {
  const visitor = book.visitor()
  await visitor.fill('/sign-in', { signInName: 'dovi', password: PASSWORD })
  return visitor
}

/** What stands above is left empty, as people do on paper. */
function withoutRepeats(rows: Cells[], carried: string[]): Cells[] {
  return rows.map((row, at) => {
    const above = at % ROWS_OF_A_PAGE === 0 ? undefined : rows[at - 1]
    return Object.fromEntries(
      Object.entries(row).map(([name, cell]) => [name, carried.includes(name) && above?.[name] === cell ? '' : cell]),
    )
  })
}

async function typeBook(attendant: Visitor, book: string, rows: Cells[]): Promise<void> {
  for (let from = 0; from < rows.length; from += ROWS_OF_A_PAGE) {
    const ofPage = rows.slice(from, from + ROWS_OF_A_PAGE)
    const cells = ofPage.flatMap((row, at) => Object.entries(row).map(([name, cell]) => [`${at + 1}.${name}`, cell]))
    const pageNo = String(from / ROWS_OF_A_PAGE + 1)
    const page = await attendant.fill(`/paper/${book}/type`, { pageNo, ...Object.fromEntries(cells) })
    expect(page.words.slice(0, 400)).toContain(`${ofPage.length} row`)
    expect(page.status).toBe(200)
  }
}

const figure = (value: number | null) => (value === null ? '' : String(value))

/** A line of the pump log: at a plot's outlet by two readings, by hand from a weir by count. */
function logCells(draw: Abstraction): Cells {
  const isCount = draw.method === 'volume'
  return {
    onDate: draw.onDate,
    place: draw.outletNumber === null ? `W${draw.weirNumber}` : String(draw.outletNumber),
    use: draw.use === 'irrigation' ? '' : draw.use,
    plotId: figure(draw.plotNumber),
    opening: figure(draw.openingM3),
    closing: figure(draw.closingM3),
    volume: isCount ? String(Math.round(draw.volumeM3 * 50)) : '',
    unit: isCount ? 'jerrycans' : '',
    startTime: draw.startTime ?? '',
    endTime: draw.endTime ?? '',
    takerId: figure(draw.takerNumber),
    remark: draw.remark ?? '',
  }
}

/** The slip of the same draw, as the taker brings it back. */
function slipCells(draw: Abstraction, slipNo: number): Cells {
  const { use: _, volume: __, unit: ___, ...cells } = logCells(draw)
  return { slipNo: String(slipNo), ...cells }
}

async function levelCells(db: Database): Promise<Cells[]> {
  const weirs = await listWeirs(db)
  return (await listReadings(db, span)).map((reading) => ({
    readOn: reading.readOn,
    weirId: String(weirs.find((weir) => weir.id === reading.weirId)!.number),
    readAt: reading.readAt,
    depth: String(reading.depthCm),
    pumpOffOn: reading.pumpOffSinceAt!.slice(0, 10),
    pumpOffAt: reading.pumpOffSinceAt!.slice(11, 16),
  }))
}

async function meterCells(db: Database): Promise<Cells[]> {
  const pumps = await listPumps(db, span.toOn)
  return (await pumpReadings(db, span)).map(({ on, pumpId, moment, reading, atTime }) => ({
    onDate: on,
    pumpId: String(pumps.find(({ id }) => id === pumpId)!.number),
    moment,
    meter: String(reading),
    atTime,
  }))
}

/** A line of the tank sheet a day, with the jerrycans that were counted at the stand and put into the trough. */
async function tankCells(db: Database, atTank: readonly Abstraction[]): Promise<Cells[]> {
  const days = (await tankDays(db, span)).toReversed()
  return days.map(({ onDate, tankNumber, morningM, eveningM, filledM3, animals }) => {
    const counted = (use: string) => atTank.find((draw) => draw.onDate === onDate && draw.use === use)!.volumeM3 * 50
    const cm = (levelM: number | null) => (levelM === null ? '' : String(Math.round(levelM * 1000) / 10))
    return {
      ...{ onDate, tankId: String(tankNumber), morning: cm(morningM), evening: cm(eveningM), filled: figure(filledM3) },
      ...{ stand: String(Math.round(counted('drinking'))), trough: String(Math.round(counted('stock'))) },
      animals: figure(animals),
    }
  })
}

describe('the paper of a season typed in from blank forms', () => {
  it('gives the same balance to the litre as the same events logged live', async () => {
    const draws = await listAbstractions(logged.db, span)
    const more = await moreOf(logged.db, idsOf(draws))
    const turns = draws.filter(({ turnId }) => turnId !== null)
    const atTank = draws.filter(({ pumpId, turnId }) => pumpId !== null && turnId === null)
    expect([turns.length > 500, atTank.length > 200, draws.length > 780]).toEqual([true, true, true])
    const attendant = await attendantOf(paper)
    // The slips of the first pump are all that is left of its turns; of the second both are there; of the third only the log.
    const ofPump = (number: number) => turns.filter(({ pumpNumber }) => pumpNumber === number)
    const slips = [...ofPump(1), ...ofPump(2)].map((draw) => slipCells(draw, more.get(draw.id)!.slipNo!))
    const lines = draws
      .filter((draw) => draw.pumpNumber !== 1 && !atTank.includes(draw))
      .map((draw) => {
        return { ...logCells(draw), slipNo: draw.pumpNumber === 3 ? figure(more.get(draw.id)!.slipNo) : '' }
      })
    await typeBook(attendant, 'pump-log', withoutRepeats(lines, ['onDate', 'place']))
    await typeBook(attendant, 'slips', withoutRepeats(slips, ['onDate', 'place']))
    await typeBook(attendant, 'tanks', withoutRepeats(await tankCells(logged.db, atTank), ['tankId']))
    await typeBook(attendant, 'pump-readings', withoutRepeats(await meterCells(logged.db), ['onDate']))
    await typeBook(attendant, 'levels', withoutRepeats(await levelCells(logged.db), ['readOn']))
    const weather = (await weatherDays(logged.db, span)).map(({ onDate, tmaxC, tminC, rainMm }) => {
      return { onDate, tmaxC: String(tmaxC), tminC: String(tminC), rainMm: String(rainMm) }
    })
    await typeBook(attendant, 'weather', weather)

    expect(await seenIn(paper)).toEqual(await seenIn(logged))
    const balanceOf = async (book: TestBook) => (await (await attendantOf(book)).agent.get('/water/went.csv')).text
    const balance = await balanceOf(paper)
    expect(balance).toBe(await balanceOf(logged))
    // Four weirs read every week, and the totals below them.
    expect(balance.trim().split('\n').length).toBeGreaterThan(4 * 14)
    expect((await verifyBook(paper.db)).brokenAt).toBeNull()
  }, 300_000)
})

/** Every draw with its slip, and the balance of each pump for each week and for the season, to the litre. */
async function seenIn({ db }: TestBook) {
  const draws = await listAbstractions(db, span)
  const more = await moreOf(db, idsOf(draws))
  const lines = draws.map(({ id, onDate, turnId, plotId, takerId, use, volumeM3, grade, happenedAt }) =>
    [onDate, turnId, plotId, takerId, use, volumeM3, grade, dayOf(happenedAt), more.get(id)!.slipNo].join(' '),
  )
  const weeks = [span]
  for (let fromOn = addDays(span.fromOn, -1); fromOn < span.toOn; fromOn = addDays(fromOn, 7)) {
    weeks.push({ fromOn, toOn: addDays(fromOn, 6) })
  }
  const pumps = []
  for (const week of weeks) {
    const { pumps: each, all } = await pumpWater(db, week)
    const balances = [...each.map(({ balance }) => balance), all]
    pumps.push(balances.map((balance) => JSON.stringify(balance, toLitre)))
  }
  // The two books tell the same by entries of their own.
  const tanks = (await tankDays(db, span)).map(({ ids: _, ...told }) => told)
  return { lines: lines.toSorted(), pumps, tanks }
}

function toLitre(_: string, value: unknown): unknown {
  return typeof value === 'number' ? Math.round(value * 1000) / 1000 + 0 : value
}

function idsOf(draws: readonly Abstraction[]): string[] {
  return draws.map(({ id }) => id)
}

/** Draws without a clock time happened at no hour that anybody knows; only the day is compared. */
function dayOf(happenedAt: string): string {
  return happenedAt.slice(0, 10)
}
