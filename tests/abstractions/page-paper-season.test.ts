import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { PASSWORD } from '../../seed/load.ts'
import { type Abstraction, listAbstractions } from '../../server/abstractions/abstraction-store.ts'
import { weatherDays } from '../../server/crops/weather-store.ts'
import type { Database } from '../../server/database/connection.ts'
import { appendWhole, readBook, type WholeEntry } from '../../server/database/merge.ts'
import { verifyBook } from '../../server/database/verify.ts'
import { currentGroup } from '../../server/people/group-store.ts'
import { listReadings } from '../../server/water/level-store.ts'
import { listWeirs } from '../../server/water/weir-store.ts'
import { openBook, type TestBook } from '../support/book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

const LOGGED = ['abstraction', 'level_reading', 'weather_day']
const NOW = `${VALLEY_TODAY}T10:00:00Z`
const ROWS_OF_A_PAGE = 16
const WEEKS = 5

type Cells = Record<string, string>
let logged: TestBook
let paper: TestBook
let span: { fromOn: string; toOn: string }

/** Two books of the example valley with its works and published weeks: one with its log of some weeks, one without any. */
beforeAll(async () => {
  const valley = await openValley()
  const group = (await currentGroup(valley.db))!
  span = { fromOn: addDays(group.seasonStartOn, -20), toOn: addDays(group.seasonStartOn, 7 * WEEKS - 1) }
  const entries = await readBook(valley.db)
  logged = await bookOf(entries, (whole) => isWorks(whole) || isLog(whole))
  paper = await bookOf(entries, isWorks)
})
afterAll(async () => {
  await Promise.all([logged.db.destroy(), paper.db.destroy()])
})

const MONEY = /^(transfer|account|tariff|receipt|count|cash|opening|approval|voucher|relief)/

function isWorks({ facts }: WholeEntry): boolean {
  return facts.length > 0 && facts.every(([table]) => !LOGGED.includes(table) && !MONEY.test(table))
}

function isLog({ facts }: WholeEntry): boolean {
  return facts.some(
    ([table, row]) => LOGGED.includes(table) && String(row.on_date) >= span.fromOn && String(row.on_date) <= span.toOn,
  )
}

async function bookOf(entries: readonly WholeEntry[], keeps: (whole: WholeEntry) => boolean): Promise<TestBook> {
  const book = await openBook(NOW)
  await book.db.transaction().execute(async (trx) => {
    for (const whole of entries) if (keeps(whole)) await appendWhole(trx, whole)
  })
  return book
}

async function attendantOf(book: TestBook): Promise<Visitor> {
  const visitor = book.visitor()
  await visitor.fill('/session/new', { signInName: 'dovi', password: PASSWORD })
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
    const page = await attendant.fill(`/paper/${book}/pages/new`, { pageNo, ...Object.fromEntries(cells) })
    expect(page.words.slice(0, 400)).toContain(`${ofPage.length} row`)
    expect(page.status).toBe(200)
  }
}

function logCells(draw: Abstraction): Cells {
  const figure = (value: number | null) => (value === null ? '' : String(value))
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

describe('the paper of a season typed in from blank forms', () => {
  it('gives the same balance to the litre as the same events logged live', async () => {
    const draws = await listAbstractions(logged.db, span)
    expect(draws.length).toBeGreaterThan(60)
    const attendant = await attendantOf(paper)
    await typeBook(attendant, 'pump-log', withoutRepeats(draws.map(logCells), ['onDate', 'place']))
    await typeBook(attendant, 'levels', withoutRepeats(await levelCells(logged.db), ['readOn']))
    const weather = (await weatherDays(logged.db, span)).map(({ onDate, tmaxC, tminC, rainMm }) => {
      return { onDate, tmaxC: String(tmaxC), tminC: String(tminC), rainMm: String(rainMm) }
    })
    await typeBook(attendant, 'weather', weather)

    const facts = ({ onDate, turnId, plotId, takerId, volumeM3, grade, happenedAt }: Abstraction) =>
      [onDate, turnId, plotId, takerId, volumeM3, grade, dayOf(happenedAt)].join(' ')
    const typed = await listAbstractions(paper.db, span)
    expect(typed.map(facts).toSorted()).toEqual(draws.map(facts).toSorted())
    const balanceOf = async (book: TestBook) => (await (await attendantOf(book)).agent.get('/balance.csv')).text
    const balance = await balanceOf(paper)
    expect(balance).toBe(await balanceOf(logged))
    // Four weirs with three or four stretches each, and the totals below them.
    expect(balance.trim().split('\n').length).toBeGreaterThan(12)
    expect((await verifyBook(paper.db)).brokenAt).toBeNull()
  }, 180_000)
})

/** Draws without a clock time happened at no hour that anybody knows; only the day is compared. */
function dayOf(happenedAt: string): string {
  return happenedAt.slice(0, 10)
}
