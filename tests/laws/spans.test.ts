import { globSync, readFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { addDays, datesFromTo } from '../../domain/calendar.ts'
import { sum } from '../../domain/sum.ts'
import {
  type Abstraction,
  deliveredByPlot,
  drawsEverWritten,
  listAbstractions,
} from '../../server/abstractions/draw/store.ts'
import { givenWater, plannedWater } from '../../server/crops/need/given-store.ts'
import { gaugeRain } from '../../server/crops/weather/gauge-store.ts'
import { chargesOfPlot } from '../../server/fees/charge/plot-store.ts'
import { periodBooks } from '../../server/fees/reconcile/books.ts'
import { actsOfOneName } from '../../server/fees/reconcile/one-name-store.ts'
import { periodWater } from '../../server/fees/reconcile/water.ts'
import { paidBetween, stipendsPaid } from '../../server/fees/voucher/store.ts'
import { listPlots, type Plot } from '../../server/people/plot/store.ts'
import { noTurnDays } from '../../server/rotation/constraint/no-turn-store.ts'
import { turnsBetween, turnsEverPlanned } from '../../server/rotation/published/listed-store.ts'
import { drawnBetween } from '../../server/water/storage/seen-store.ts'
import { weatherDays } from '../../server/water/weather/store.ts'
import { pumpReadings, tankDays, tankReadings, timedTankReadings } from '../../server/works/tank/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

/** A question for some days, the first and the last of them included. */
type Asked = (span: { fromOn: string; toOn: string }) => Promise<readonly object[]>

const [FIRST, LAST] = ['2026-09-28', addDays(VALLEY_TODAY, 4)]

let valley: Awaited<ReturnType<typeof openValley>>
let plot: Plot
let draws: Abstraction[]
beforeAll(async () => {
  valley = await openValley()
  const fanta = await valley.signIn('fanta')
  const amaru = await valley.signIn('amaru')
  await fanta.fill('/money/receipts/1/mend', { original: 'back', reason: 'to be counted' })
  await amaru.fill('/turns/settle/no-turn-day', { onDate: VALLEY_TODAY, words: 'a market' })
  await amaru.fill('/turns/settle/no-turn-day', { onDate: addDays(VALLEY_TODAY, 3), words: 'mourning' })
  const { entryId: gauge } = await writtenGauge(amaru)
  for (const onDate of [FIRST, '2026-10-12', VALLEY_TODAY])
    await amaru.fill(`/crops/weather/new/${gauge}`, { onDate, rainMm: '3' })
  plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ number }) => number === 8)!
  draws = await listAbstractions(valley.db, { fromOn: FIRST, toOn: LAST })
})

async function writtenGauge(amaru: Visitor) {
  await amaru.fill('/crops/weather/gauge', { number: '7', name: 'by the store' })
  return valley.db.selectFrom('rainGauge').select('entryId').executeTakeFirstOrThrow()
}

const ofDays = ({ fromOn, toOn }: { fromOn: string; toOn: string }) => ({ from: fromOn, to: toOn })
const QUESTIONS: Record<string, Asked> = {
  listAbstractions: (span) => listAbstractions(valley.db, span),
  drawsEverWritten: (span) => drawsEverWritten(valley.db, { ...span, plotId: plot.id }),
  givenWater: (span) => givenWater(valley.db, span),
  plannedWater: (span) => plannedWater(valley.db, span),
  gaugeRain: (span) => gaugeRain(valley.db, span),
  chargesOfPlot: (span) => chargesOfPlot(valley.db, { ...span, plotId: plot.id }),
  noTurnDays: ({ fromOn, toOn }) => noTurnDays(valley.db, fromOn, toOn),
  turnsBetween: (span) => turnsBetween(valley.db, span),
  turnsEverPlanned: (span) => turnsEverPlanned(valley.db, { ...span, plotId: plot.id }),
  drawnBetween: ({ fromOn, toOn }) => drawnBetween(valley.db, fromOn, toOn),
  weatherDays: (span) => weatherDays(valley.db, span),
  tankReadings: (span) => tankReadings(valley.db, span),
  timedTankReadings: (span) => timedTankReadings(valley.db, span),
  pumpReadings: (span) => pumpReadings(valley.db, span),
  tankDays: (span) => tankDays(valley.db, span),
  paidBetween: (span) => paidBetween(valley.db, ofDays(span)),
  stipendsPaid: (span) => stipendsPaid(valley.db, ofDays(span)),
}

/** Questions for some days that are no list of what lies on each of them. */
const OTHERWISE: Record<string, string> = {
  'a figure of the days together': `pumpWater metersOverLog deliveredByPlot deliveredByPlotAndWeek seasonBook plotRecord openWaterByDay
    periodWater actsOfOneName daysInLog`,
  'what rules on them, which a whole week holds or not': 'customsOn noTurnHoursOn weeksOfPlots',
  'only whether there is one of just these days, or how many pay in them': 'closingOfPeriod fewPayers',
  'of lists that are handed in': 'countedIn',
  'from which others of them are read': `actsWritten agreedForPlots drawsOfDays loggedForPlots pumpReadingRows tankReadingRows
    weatherRows`,
  'with the days around them': 'fillingsAround unmeteredAround',
  'of days shared anew, of which the example has none (tests/abstractions/plausibility/given.test.ts)': 'saidGiven',
}

/** Exported questions to the book that name a first and a last day. */
function questionsOfDays(): string[] {
  const texts = globSync('server/**/*.ts').map((file) => readFileSync(file, 'utf8'))
  const asked = texts.flatMap((text) => [
    ...text.matchAll(/export (?:async )?function (\w+)\(\s*db: Database,((?:[^()]|\([^()]*\))*)\)/g),
  ])
  const names = asked.filter(([, , rest]) => /\b(fromOn|from)\b[\s\S]*\b(toOn|to)\b|\bSpan\b|PersonDays/.test(rest!))
  return [...new Set(names.map(([, name]) => name!))].sort()
}

it('names every question that is asked for some days', () => {
  const named = [...Object.keys(QUESTIONS), ...Object.values(OTHERWISE).flatMap((names) => names.split(/\s+/))]
  expect(questionsOfDays()).toEqual(named.sort())
})

const written = (rows: readonly object[]) => rows.map((row) => JSON.stringify(row)).sort()
const dayOf = (row: object): unknown => ('onDate' in row ? row.onDate : 'on' in row ? row.on : null)

describe('what is asked for some days', () => {
  it.each(Object.entries(QUESTIONS))(
    '%s is what is asked for each of them, and lies within them',
    async (name, ask) => {
      const days = datesFromTo(FIRST, LAST)
      const whole = await ask({ fromOn: FIRST, toOn: LAST })
      expect(whole.length).toBeGreaterThan(name === 'stipendsPaid' ? 0 : 1)
      const single = []
      for (const on of days) {
        const rows = await ask({ fromOn: on, toOn: on })
        for (const row of rows) expect([on, null]).toContain(dayOf(row))
        single.push(...rows)
      }
      expect(written(single)).toEqual(written(whole))
      expect(await ask({ fromOn: LAST, toOn: FIRST })).toEqual([])
    },
  )

  it('tells of the water of plots what the log tells', async () => {
    const span = { fromOn: FIRST, toOn: LAST }
    const ofPlots = draws.filter(({ use, plotId }) => use === 'irrigation' && plotId !== null)
    const given = await givenWater(valley.db, span)
    const delivered = await deliveredByPlot(valley.db, span)
    for (const plotId of new Set(ofPlots.map((draw) => draw.plotId!))) {
      const own = ofPlots.filter((draw) => draw.plotId === plotId)
      expect(delivered.get(plotId)).toBeCloseTo(
        sum(own, ({ volumeM3 }) => volumeM3),
        9,
      )
      for (const on of new Set(own.map(({ onDate }) => onDate))) {
        const m3 = sum(
          own.filter((draw) => draw.onDate === on),
          ({ volumeM3 }) => volumeM3,
        )
        expect(given.find((row) => row.plotId === plotId && row.onDate === on)!.volumeM3).toBeCloseTo(m3, 9)
      }
    }
    expect(sum(given, ({ volumeM3 }) => volumeM3)).toBeCloseTo(
      sum(ofPlots, ({ volumeM3 }) => volumeM3),
      6,
    )
  })

  it('tells of what is agreed and not written in what the list of turns tells', async () => {
    const logged = new Set(draws.map(({ turnId }) => turnId))
    const turns = await turnsBetween(valley.db, { fromOn: FIRST, toOn: LAST })
    const open = turns.filter(({ id, plotId }) => plotId !== null && !logged.has(id))
    const planned = await plannedWater(valley.db, { fromOn: FIRST, toOn: LAST })
    expect(open.length).toBeGreaterThan(5)
    expect(sum(planned, ({ volumeM3 }) => volumeM3)).toBeCloseTo(
      sum(open, ({ volumeM3 }) => volumeM3),
      6,
    )
    for (const { plotId, onDate } of open)
      expect(planned.some((row) => row.plotId === plotId && row.onDate === onDate)).toBe(true)
  })

  it('counts what one person stands for in the days of its own, the first and the last included', async () => {
    const count = async (from: string, to: string) =>
      sum(await actsOfOneName(valley.db, { from, to }), (one) => one.count)
    const each = []
    for (const on of datesFromTo(FIRST, LAST)) each.push(await count(on, on))
    expect(Math.max(...each)).toBeGreaterThan(0)
    expect(sum(each, (one) => one)).toBe(await count(FIRST, LAST))
  })

  it('agrees water and money of days beside each other as of all of them together', async () => {
    const books = (from: string, to: string) => periodBooks(valley.db, { from, to, today: VALLEY_TODAY })
    const sums = ({
      volumes,
      arrears,
      columns,
      costsMinor,
      inKindMinor,
      receipts,
    }: Awaited<ReturnType<typeof books>>) => ({
      ...volumes,
      ...{ charges: arrears.chargesMinor, fines: arrears.finesMinor, paid: arrears.receiptsMinor },
      ...Object.fromEntries(
        columns.flatMap((one) => [
          [`in ${one.column}`, one.inMinor],
          [`out ${one.column}`, one.outMinor],
        ]),
      ),
      ...{ costsMinor, inKindMinor, receipts: receipts.count },
    })
    // Water was drawn and charged, and money moved, on days at both ends of each spell.
    const [from, cut, to] = ['2026-10-05', '2026-11-02', '2026-11-22'] as const
    const [first, second] = [sums(await books(from, cut)), sums(await books(addDays(cut, 1), to))]
    for (const [name, whole] of Object.entries(sums(await books(from, to)))) {
      if (name === 'deliveredUncertaintyM3') continue
      expect([first, second].every((part) => name in part)).toBe(true)
      const parts = Number(first[name as keyof typeof first]) + Number(second[name as keyof typeof second])
      expect([name, parts]).toEqual([name, expect.closeTo(Number(whole), 6)])
    }
    expect(first.deliveredM3 * second.deliveredM3 * first.charges * second.paid).toBeGreaterThan(0)
    const opening = (of: Awaited<ReturnType<typeof books>>) => of.columns.map((one) => one.openingMinor)
    const closing = (of: Awaited<ReturnType<typeof books>>) => of.columns.map((one) => one.closingMinor)
    expect(opening(await books(addDays(cut, 1), to))).toEqual(closing(await books(from, cut)))
  })

  it('finds the water that went through pumps in two spells beside each other', async () => {
    const through = async (from: string, to: string) =>
      (await periodWater(valley.db, { from, to }))?.throughPumpsM3 ?? 0
    const middle = '2026-10-31'
    const parts = (await through('2026-10-01', middle)) + (await through(addDays(middle, 1), '2026-11-22'))
    expect(await through('2026-10-01', '2026-11-22')).toBeCloseTo(parts, 6)
    expect(parts).toBeGreaterThan(100)
  })
})
