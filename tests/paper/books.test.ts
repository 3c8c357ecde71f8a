import { describe, expect, it } from 'vitest'
import { moreOf } from '../../server/abstractions/draw/more-store.ts'
import { listAbstractions } from '../../server/abstractions/draw/store.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { requestsFor } from '../../server/rotation/request/store.ts'
import { testsByOutlet } from '../../server/works/flow-test/store.ts'
import { listTanks, pumpReadings, tankReadings } from '../../server/works/tank/store.ts'
import { abstractionsBook, addTurn, TODAY, typePage } from '../abstractions/book.ts'
import { bookWithTank } from '../works/tank-book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }

describe('a page of the tank and trough sheet', () => {
  const rows: Record<string, string>[] = [
    {
      onDate: TODAY,
      tankId: '1',
      morning: '40',
      evening: '62,5',
      filled: '3.2',
      stand: '35',
      trough: '10',
      animals: '22',
    },
    { plotId: '7', letOut: '1.2', remark: 'evening turn' },
  ]

  it('writes levels, what was let out and to whom, and what people and animals drank', async () => {
    const { ada, db } = await bookWithTank()
    const page = await typePage(ada, 'tanks', '4', rows)
    expect(page.words).toContain('2 rows of this page are in the book')
    const [tank] = await listTanks(db)
    expect(await tankReadings(db, DAY)).toEqual([
      { tankId: tank!.id, on: TODAY, moment: 'dawn', reading: 0.4 },
      { tankId: tank!.id, on: TODAY, moment: 'dusk', reading: 0.625 },
    ])
    const draws = await listAbstractions(db, DAY)
    expect(
      draws.map(({ use, volumeM3, plotNumber, outletNumber }) => [use, volumeM3, plotNumber, outletNumber]),
    ).toEqual([
      ['drinking', 0.7, null, null],
      ['stock', 0.2, null, null],
      ['irrigation', 1.2, 7, 3],
    ])
    const sheet = await ada.open('/log/lines/tank-day')
    expect(sheet.words).toContain('1 Hill 40 cm 62.5 cm 3.2 22 evening turn')
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('adds nothing the second time, and gives the same as the screen', async () => {
    const paper = await bookWithTank()
    await typePage(paper.ada, 'tanks', '4', rows)
    const again = await typePage(paper.ada, 'tanks', '4', rows)
    expect(again.words).toContain('2 rows of this page were typed in before')
    const screen = await bookWithTank()
    const tankId = (await listTanks(screen.db))[0]!.id
    await screen.ada.fill('/log/round?as=tank-day', { ...rows[0], tankId })
    await screen.ada.fill('/log/round?as=tank-day', { ...rows[1], onDate: TODAY, tankId, plotId: screen.plotId })
    const seen = async ({ db, ada }: typeof paper) => [
      (await listAbstractions(db, DAY)).map(({ use, volumeM3, grade, plotNumber }) => [
        use,
        volumeM3,
        grade,
        plotNumber,
      ]),
      (await tankReadings(db, DAY)).map(({ moment, reading }) => [moment, reading]),
      (await ada.open('/log/lines/tank-day')).words,
      (await ada.agent.get('/water/went.csv')).text,
    ]
    expect(await seen(paper)).toEqual(await seen(screen))
  })

  it('keeps the good rows and says beside each other one what is wrong', async () => {
    const { ada, db } = await bookWithTank()
    const page = await typePage(ada, 'tanks', '5', [
      { onDate: TODAY, tankId: '1', morning: '240' },
      { letOut: '2' },
      { plotId: '7' },
      { remark: 'nobody looked' },
      { tankId: '9', morning: '3' },
      { tankId: '1', morning: '50' },
      { morning: '51' },
    ])
    expect(page.words).toContain('1 row is in the book now')
    expect(page.words).toContain('The tank is only 200 cm high')
    expect(page.words).toContain('Write the number of the plot that it was let out to')
    expect(page.words).toContain('Let out, m³: Please fill this in')
    expect(page.words).toContain('Only a day and a tank stand in this row')
    expect(page.words).toContain('There is no number “9”')
    expect(page.words).toContain('The level of that morning or evening is in the book already')
    expect(page.html.querySelector('[name="1.morning"]')?.getAttribute('value')).toBe('240')
    expect(await tankReadings(db, DAY)).toHaveLength(1)
    const screen = await ada.fill('/log/round?as=tank-day', { onDate: TODAY, tankId: '', morning: '10' })
    expect([screen.status, screen.html.querySelector('#tankId-error') !== null]).toEqual([422, true])
  })
})

describe('slips that come back', () => {
  const slip = { slipNo: '104', onDate: TODAY, place: '3', plotId: '7', startTime: '8:00', endTime: '10:00' }
  const read = { opening: '1204', closing: '1208' }

  it('become the draw of the planned turn where nobody logged it', async () => {
    const { ada, db, writing, ...ids } = await abstractionsBook()
    const turnId = await writing((pen) => addTurn(pen, ids))
    const page = await typePage(ada, 'slips', '1', [{ ...slip, ...read }])
    expect(page.words).toContain('1 row of this page is in the book')
    const draws = await listAbstractions(db, DAY)
    expect(draws.map((draw) => [draw.turnId, draw.volumeM3])).toEqual([[turnId, 4]])
    expect((await moreOf(db, [draws[0]!.id])).get(draws[0]!.id)!.slipNo).toBe(104)
  })

  it('are laid out from the turns of a day, and one that has not come back is left aside', async () => {
    const { ada, db, writing, ...ids } = await abstractionsBook()
    await writing((pen) => addTurn(pen, ids))
    const form = await ada.open(`/paper/slips/type?on=${TODAY}`)
    const stands = (name: string) => form.html.querySelector(`[name="${name}"]`)?.getAttribute('value')
    expect(['onDate', 'place', 'plotId'].map((name) => stands(`1.${name}`))).toEqual([TODAY, '3', '7'])
    const nothing = await ada.send(form, { pageNo: '2' })
    expect(nothing.words).toContain('There is no row yet')
    expect(nothing.html.querySelector('[name="1.plotId"]')?.getAttribute('value')).toBe('7')
    const page = await ada.send(form, { pageNo: '2', '1.slipNo': '77', '1.opening': '1204', '1.closing': '1207.5' })
    expect(page.words).toContain('1 row of this page is in the book')
    expect((await listAbstractions(db, DAY)).map(({ volumeM3 }) => volumeM3)).toEqual([3.5])
    expect((await ada.open('/paper/slips/type?on=nonsense')).status).toBe(200)
  })

  it('only bring their number to a draw that stands with the same readings', async () => {
    const { ada, db } = await abstractionsBook()
    await typePage(ada, 'pump-log', '1', [{ onDate: TODAY, place: '3', ...read, startTime: '8:00', endTime: '10:00' }])
    const page = await typePage(ada, 'slips', '1', [{ ...slip, ...read }])
    expect(page.words).toContain('1 row of this page is in the book')
    const draws = await listAbstractions(db, DAY)
    expect(draws).toHaveLength(1)
    expect((await ada.open(`/log/lines/drawn/${draws[0]!.id}`)).words).toContain('104')
    const other = await typePage(ada, 'slips', '2', [{ ...slip, ...read }])
    expect(other.words).toContain('1 row is in the book already with the same meter readings')
    const log = await typePage(ada, 'pump-log', '2', [{ onDate: TODAY, place: '3', ...read }])
    expect(log.words).toContain('1 row is in the book already with the same meter readings')
    expect(await listAbstractions(db, DAY)).toHaveLength(1)
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('that say something else than the log, or carry a number twice, are laid before a person', async () => {
    const { ada, db } = await abstractionsBook()
    await typePage(ada, 'pump-log', '1', [{ onDate: TODAY, place: '3', ...read, startTime: '8:00', endTime: '10:00' }])
    const page = await typePage(ada, 'slips', '1', [
      { ...slip, opening: '1204', closing: '1209' },
      { ...slip, ...read },
      { ...slip, slipNo: '105', ...read },
      { ...slip, slipNo: '106', startTime: '11:00', endTime: '12:00', opening: '1208', closing: '1209' },
      { ...slip, slipNo: '106', startTime: '13:00', endTime: '14:00', opening: '1209', closing: '1210' },
    ])
    expect(page.words).toContain('4 m³ are logged at that time, with other readings')
    expect(page.words).toContain('Slip 106 is in the book already')
    expect(page.words).toContain('This draw is in the book already and carries slip 104')
    expect(page.words).toContain('2 rows are in the book now')
    expect((await listAbstractions(db, DAY)).map(({ volumeM3 }) => volumeM3)).toEqual([4, 1])
  })
})

describe('smaller books', () => {
  it('take flow tests with drum and watch, the day and the drum carried down', async () => {
    const { ada, db, outletId } = await abstractionsBook()
    const page = await typePage(ada, 'flow-tests', '1', [
      {
        ...{ onDate: '2026-06-05', outletId: '3', containerLitres: '20' },
        ...{ seconds1: '30', seconds2: '31', seconds3: '29', seconds4: '30', pumpState: 'clear' },
      },
      { onDate: TODAY, seconds1: '40', pumpState: 'du' },
      { seconds1: '', pumpState: 'clear' },
    ])
    expect(page.words).toContain('2 rows are in the book now')
    const tests = (await testsByOutlet(db)).get(outletId)!
    expect(tests.map(({ testedOn, flowM3PerH }) => [testedOn, Math.round(flowM3PerH * 1000) / 1000])).toEqual([
      [TODAY, 1.8],
      ['2026-06-05', 2.4],
      ['2026-06-01', 2],
    ])
  })

  it('take the pump meters of dawn and dusk', async () => {
    const { ada, db, pumpId } = await abstractionsBook()
    await typePage(ada, 'pump-readings', '1', [
      { onDate: TODAY, pumpId: '1', moment: 'dawn', meter: '1200,4', hourMeter: '310', atTime: '6.10' },
      { moment: 'dusk', meter: '1212', atTime: '17:45' },
    ])
    expect(await pumpReadings(db, DAY)).toMatchObject([
      { pumpId, moment: 'dawn', reading: 1200.4, hourMeterH: 310, atTime: '06:10' },
      { pumpId, moment: 'dusk', reading: 1212, hourMeterH: null, atTime: '17:45' },
    ])
  })

  it('take the booking list: who asked when, and a newer wish is not overwritten by an older page', async () => {
    const { ada, db, chidiId, plotId } = await abstractionsBook()
    const week = '2026-06-15'
    await ada.fill('/turns/ask', { plotId, weekStartOn: week, volume: '6' })
    const page = await typePage(ada, 'requests', '3', [
      { askedOn: '2026-06-09', weekStartOn: '15/6/2026', askerId: '3', plotId: '7', volume: '4', cannotDay: 'tue' },
      { askedOn: '2026-06-19', plotId: '7' },
      { askedOn: '2026-06-09', weekStartOn: '2026-06-14', plotId: '7' },
    ])
    expect(page.words).toContain('1 row is in the book now')
    expect(page.words).toContain('There is no number “2026-06-14”')
    expect((await requestsFor(db, week)).map(({ volumeM3 }) => volumeM3)).toEqual([6])
    const typed = await db.selectFrom('entry').selectAll().where('paperPage', '=', 'requests 3').execute()
    expect(typed.map(({ forPersonId, happenedAt }) => [forPersonId, happenedAt.slice(0, 10)])).toEqual([
      [chidiId, '2026-06-09'],
    ])
  })
})
