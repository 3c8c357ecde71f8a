import { describe, expect, it } from 'vitest'
import { deliveredByPlot, deliveredByPlotAndWeek, listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { verifyBook } from '../../../server/book/verify.ts'
import { optionValue } from '../../support/visitor.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }

async function bookWithTurn() {
  const book = await abstractionsBook()
  const turnId = await book.writing((pen) => addTurn(pen, book))
  return { ...book, turnId, logPage: `/log/turns/${turnId}` }
}

describe('the log of a day', () => {
  it('lists the turns with plot, holder, outlet and plan, and a door to log each', async () => {
    const { ada, logPage } = await bookWithTurn()
    const page = await ada.open('/log')
    expect(page.words).toMatch(/08:00 10:00 Plot 7, Bela outlet 3, pump 1 4.0 m³/)
    expect(page.html.querySelector(`a[href="${logPage}"]`)).not.toBeNull()
  })

  it('takes two meter readings and shows the turn as done', async () => {
    const { ada, logPage, db, plotId, belaId } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '1208', startTime: '08:00', endTime: '10:00' })
    expect(entry.words).toContain('4 m³ (measured')
    expect(entry.words).toContain('1,208 − 1,204 = 4 m³')
    expect(entry.words).not.toContain('Look at this again')
    const [drawn] = await listAbstractions(db, DAY)
    expect(drawn).toMatchObject({ volumeM3: 4, takerId: belaId, plotNumber: 7, outletNumber: 3, use: 'irrigation' })
    expect(drawn!.happenedAt).toBe('2026-06-11T05:00:00.000Z')
    // 5 % of the meter with half a cubic metre at either reading: the root of 0.2² + 0.5² + 0.5².
    expect(drawn!.uncertaintyM3).toBeCloseTo(Math.sqrt(0.54), 9)
    expect((await ada.open('/log')).words).toContain('The log shows 4 m³ for the turns that were done')
    expect(await deliveredByPlot(db, DAY)).toEqual(new Map([[plotId, 4]]))
    const weeks = await deliveredByPlotAndWeek(db, { ...DAY, rhythm: { firstWeekday: 1, marketWeeks: [] } })
    expect(weeks).toEqual(new Map([['2026-06-08', new Map([[plotId, 4]])]]))
  })

  it('writes one entry when the network sends the form twice', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const form = await ada.open(logPage)
    const first = await ada.send(form, { opening: '10', closing: '14' })
    const second = await ada.send(form, { opening: '10', closing: '14' })
    expect(second.path).toBe(first.path)
    expect(await listAbstractions(db, DAY)).toHaveLength(1)
  })

  it('shows the last closing reading of the pump without filling it in, and names a gap to it', async () => {
    const { ada, logPage } = await bookWithTurn()
    await ada.fill('/log/water?use=irrigation', {
      place: optionValue(await ada.open('/log/water?use=irrigation'), 'place', 'Outlet 3'),
      plotId: optionValue(await ada.open('/log/water?use=irrigation'), 'plotId', '7 Mango'),
      opening: '1200',
      closing: '1202',
      startTime: '06:00',
      endTime: '07:00',
    })
    const form = await ada.open(logPage)
    expect(form.html.querySelector('#opening')?.getAttribute('value') ?? '').toBe('')
    expect(form.words).toContain('1,202 m³ on')
    const entry = await ada.send(form, { opening: '1205', closing: '1209', startTime: '08:00', endTime: '10:00' })
    expect(entry.words).toContain('closed at 1,202, this one opens at 1,205: 3 m³ between them')
    expect(entry.words).toContain('has no line yet')
    expect((await ada.open('/log')).words).toContain('look again')
  })

  it('reckons hours by the tested flow, marks them estimated and shows them back', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(`${logPage}?method=hours`, { hours: '1:30' })
    expect(entry.words).toContain('1 h 30 (1.5 hours) at 2 m³ an hour make 3 m³')
    expect(entry.words).toContain('estimated')
    const [drawn] = await listAbstractions(db, DAY)
    expect(drawn).toMatchObject({ hours: 1.5, flowM3PerH: 2, volumeM3: 3, grade: 'estimated', method: 'hours' })
    expect(drawn!.uncertaintyM3).toBeCloseTo(0.9, 9)
  })

  it('takes the hours from the clock when only the times are written', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    await ada.fill(`${logPage}?method=hours`, { startTime: '08:00', endTime: '09:15' })
    expect((await listAbstractions(db, DAY))[0]!.volumeM3).toBe(2.5)
  })

  it('says so when a turn is logged a second time', async () => {
    const { ada, logPage } = await bookWithTurn()
    await ada.fill(logPage, { opening: '10', closing: '12' })
    expect((await ada.open(logPage)).words).toContain('already in the log once')
    const entry = await ada.fill(logPage, { opening: '12', closing: '14' })
    expect(entry.words).toContain('in the log more than once')
  })
})

describe('a closing reading below the opening one', () => {
  it('is taken as a counter that began again when that can be', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '99998', closing: '2', startTime: '08:00', endTime: '10:00' })
    expect(entry.words).toContain('passed its last number and began again')
    expect((await listAbstractions(db, DAY))[0]!.volumeM3).toBe(4)
  })

  it('is accepted with two digits swapped, reckoned by the clock and explained', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '1028', startTime: '08:00', endTime: '10:00' })
    expect(entry.status).toBe(200)
    expect(entry.words).toContain('two digits were swapped: 1,208 would fit')
    const [drawn] = await listAbstractions(db, DAY)
    expect(drawn).toMatchObject({ openingM3: 1204, closingM3: 1028, volumeM3: 4, grade: 'estimated' })
  })

  it('counts nothing when nobody can tell, and the doubt says how much it may be', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '5' })
    expect(entry.words).toContain('Nobody can say how much it was')
    // Without times the doubt is twice the plan of 4 m3.
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ volumeM3: 0, uncertaintyM3: 8 })
  })
})

describe('a closing reading that says more than the pump can give', () => {
  it('counts what the clock gives, as an estimate whose doubt carries the rest up to a day’s pumping', async () => {
    const { ada, logPage, db, plotId } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '9208', startTime: '08:00', endTime: '10:00' })
    expect(entry.words).toContain('would be 8,004 m³, and the pump cannot give that in 2 h 00')
    expect(entry.words).toContain('Look at this again')
    const [drawn] = await listAbstractions(db, DAY)
    // Outlet 3 gives 2 m3/h; the pump 3 m3/h from 7 to 17 o'clock, with a tenth over: 33 m3 in a day.
    expect(drawn).toMatchObject({ volumeM3: 4, grade: 'estimated', openingM3: 1204, closingM3: 9208 })
    expect(drawn!.uncertaintyM3).toBeCloseTo(29, 9)
    expect(await deliveredByPlot(db, DAY)).toEqual(new Map([[plotId, 4]]))
    expect((await ada.open('/water/went')).words).not.toContain('8,004')
    const again = await ada.fill(`${entry.path}/correct`, {
      closing: '1228',
      asRead: 'yes',
      reason: 'new pump',
    })
    expect(again.words).toContain('24 m³ (measured')
  })

  it('counts nothing without clock times, says so and points it out on the day', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '9208' })
    expect(entry.words).toContain('nothing is counted until somebody corrects it')
    expect(entry.words).toContain('more than the pump gives in a whole day')
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ volumeM3: 0 })
    expect((await ada.open('/log')).words).toContain('look again')
  })

  it('still counts what is read when the clock may only be a little off', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    await ada.fill(logPage, { opening: '1204', closing: '1211', startTime: '08:00', endTime: '10:00' })
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ volumeM3: 7, grade: 'measured' })
  })
})

describe('water beside the turns', () => {
  it('counts jerrycans at the drinking stand', async () => {
    const { ada, db } = await bookWithTurn()
    const form = await ada.open('/log/water?use=drinking')
    expect(form.words).toContain('not safe to drink untreated')
    const place = optionValue(form, 'place', 'drawn by hand')
    const entry = await ada.send(form, { place, volume: '35', unit: 'jerrycans' })
    expect(entry.words).toContain('0.7 m³ (measured')
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ use: 'drinking', pumpId: null, volumeM3: 0.7 })
    expect((await ada.open('/log')).words).toContain('Written for this day: 0.7 m³')
    expect(await deliveredByPlot(db, DAY)).toEqual(new Map())
  })

  it.each([
    ['stock', 'volume', { volume: '400', unit: 'litres' }, 0.4],
    ['flushing', 'hours', { hours: '0:15' }, 0.5],
    ['other', 'meter', { opening: '5', closing: '6,5' }, 1.5],
  ] as const)('has a line of its own for %s', async (use, method, figures, volumeM3) => {
    const { ada, db } = await bookWithTurn()
    const form = await ada.open(`/log/water?use=${use}&method=${method}`)
    await ada.send(form, { place: optionValue(form, 'place', 'Outlet 3'), ...figures })
    const [drawn] = await listAbstractions(db, DAY)
    expect(drawn).toMatchObject({ use, method, volumeM3, plotId: null, outletNumber: 3 })
  })
})

describe('what cannot be', () => {
  it.each([
    ['meter', 'opening', 'twelve', 'is not a number'],
    ['meter', 'opening', '', 'tick that the start was not read'],
    ['meter', 'closing', '-3', 'from 0 to'],
    ['meter', 'closing', '1,208', 'can be read two ways'],
    ['meter', 'startTime', '25:00', 'is not a clock time'],
    ['meter', 'onDate', '2026-06-31', 'not a day on the calendar'],
    ['meter', 'onDate', '2026-06-12', 'has not come yet'],
    ['hours', 'hours', 'a while', 'is not a length of time'],
    ['hours', 'hours', '1:75', 'Minutes go from 0 to 59'],
    ['hours', 'hours', '', 'clock time at the start and at the end'],
    ['volume', 'volume', '-1', 'from 0 to'],
    ['volume', 'unit', '', 'Choose one'],
  ])('is sent back by %s for %s “%s”, with the reason and what was typed', async (method, field, typed, words) => {
    const { ada, logPage, db } = await bookWithTurn()
    const good: Record<string, Record<string, string>> = {
      meter: { opening: '1204', closing: '1208' },
      hours: { hours: '1:30' },
      volume: { volume: '3', unit: 'm3' },
    }
    const sent = { ...good[method], remark: 'windy', [field]: typed }
    const page = await ada.fill(`${logPage}?method=${method}`, sent)
    expect(page.status).toBe(422)
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(page.html.querySelector('#remark')?.getAttribute('value')).toBe('windy')
    if (field !== 'unit') expect(page.html.querySelector(`#${field}`)?.getAttribute('value')).toBe(typed)
    expect(await listAbstractions(db, { fromOn: '2000-01-01', toOn: '2100-01-01' })).toEqual([])
  })

  it('is hours without a tested flow, with the safe way out', async () => {
    const { ada } = await bookWithTurn()
    const form = await ada.open('/log/water?use=drinking&method=hours')
    const page = await ada.send(form, { place: optionValue(form, 'place', 'drawn by hand'), hours: '2' })
    expect(page.html.querySelector('#hours-error')?.text).toContain('Read the meter or count jerrycans')
  })

  it('is a use, a turn or an entry that the book does not know', async () => {
    const { ada } = await bookWithTurn()
    for (const path of ['/log/water?use=swimming', '/log/turns/nothing', '/log/lines/drawn/nothing']) {
      expect((await ada.open(path)).status).toBe(404)
    }
    expect((await ada.open('/log/days/2026-02-30')).status).toBe(404)
  })
})

describe('who may do what', () => {
  it('lets a member read the log and not write it', async () => {
    const { ada, visitor, logPage } = await bookWithTurn()
    const dora = { number: '9', name: 'Dora', roles: ['member'], signInName: 'dora', password: 'a word of her own' }
    await ada.fill('/people/new', dora)
    const member = visitor()
    await member.fill('/sign-in', { signInName: 'dora', password: dora.password })
    expect((await member.open('/log')).words).toContain('Plot 7, Bela')
    expect((await member.open(logPage)).status).toBe(403)
  })

  it('keeps a chain that verifies', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    await ada.fill(logPage, { opening: '1', closing: '5' })
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })
})
