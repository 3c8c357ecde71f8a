import { describe, expect, it } from 'vitest'
import { pumpedOver } from '../../domain/abstractions/balance/pump-days.ts'
import { endOfBook, findHash, verifyBook } from '../../server/book/verify.ts'
import { listPumps } from '../../server/works/pump/store.ts'
import { abstractionsBook, addTurn, TODAY } from '../abstractions/book.ts'
import { answersOf, optionValue, type Seen, type Visitor } from '../support/visitor.ts'

type Fields = Record<string, string | string[]>

/** Writes one line and gives the address of its page. */
async function written(ada: Visitor, { at, path }: Pick<Case, 'at' | 'path'>, fields: Fields): Promise<string> {
  const seen = await ada.fill(at, fields)
  expect(seen.html.querySelector('.error')).toBeNull()
  const lines = await ada.open(path)
  return lines.html.querySelector(`main a[href^="${path}/"]`)!.getAttribute('href')!
}

const typedIn = (page: Seen, field: string) => page.html.querySelector(`[name="${field}"]`)?.getAttribute('value')

interface Case {
  what: string
  /** Where it is written, and where its lines stand. */
  at: string
  path: string
  fields: (page: Seen) => Fields
  change: Record<string, string>
  /** Words of the line before and after. */
  was: string
  now: string
}

const pump = (page: Seen) => ({ pumpId: optionValue(page, 'pumpId', 'Lower') })
const CASES: Case[] = [
  {
    what: 'a meter at dawn',
    at: '/log/round?as=meter',
    path: '/log/lines/meter',
    fields: (page) => ({ ...pump(page), moment: 'dawn', meter: '100.5', hourMeter: '7', atTime: '06:10' }),
    change: { meter: '101.5' },
    was: '100.5',
    now: '101.5',
  },
  {
    what: 'a tank level',
    at: '/log/round?as=tank',
    path: '/log/lines/tank',
    fields: (page) => ({
      tankId: optionValue(page, 'tankId', 'Hill'),
      moment: 'dusk',
      level: '150.5',
      atTime: '18:00',
    }),
    change: { level: '140' },
    was: '150.5',
    now: '140',
  },
  {
    what: 'a fault',
    at: '/log/faults/new',
    path: '/log/lines/fault',
    fields: (page) => ({ ...pump(page), what: 'seal leaks', stopsPump: 'yes', runsAgainOn: '2026-06-20' }),
    change: { what: 'cable cut' },
    was: 'seal leaks',
    now: 'cable cut',
  },
  {
    what: 'a service',
    at: '/log/faults/service',
    path: '/log/lines/service',
    fields: (page) => ({ ...pump(page), hourMeter: '900', nextAfter: '250', words: 'oil' }),
    change: { nextAfter: '300' },
    was: '250',
    now: '300',
  },
  {
    what: 'a closed week',
    at: '/log/close?as=new',
    path: '/log/lines/closing',
    fields: (page) => ({
      ...{ ...pump(page), span: 'week', meter: '104', firstSlip: '1', lastSlip: '3', cash: '250.50' },
      cashToId: optionValue(page, 'cashToId', 'Bela'),
    }),
    change: { cash: '260.50' },
    was: '250.50',
    now: '260.50',
  },
  {
    what: 'a book of slips',
    at: '/paper/numbers',
    path: '/log/lines/slip-book',
    fields: (page) => ({ ...pump(page), firstNo: '301', lastNo: '350' }),
    change: { lastNo: '400' },
    was: '350',
    now: '400',
  },
  {
    what: 'a night test',
    at: '/log/tests/night',
    path: '/log/lines/night',
    fields: (page) => ({
      ...{ tankId: optionValue(page, 'tankId', 'Hill'), startLevel: '150', endLevel: '140', hours: '10:00' },
      ...{ line1: 'East', start1: '140', end1: '139', hours1: '1:30' },
    }),
    change: { end1: '137.5' },
    was: '139',
    now: '137.5',
  },
  {
    what: 'a new meter',
    at: '/log/meter',
    path: '/log/lines/new-meter',
    fields: (page) => ({ ...pump(page), oldLast: '5321.4', newFirst: '0.2', digits: '4', atTime: '12:00' }),
    change: { oldLast: '5312.4' },
    was: '5,321.4',
    now: '5,312.4',
  },
]

const MENDED = { at: '/log/faults/mended', path: '/log/lines/mended' }

async function bookWithTank() {
  const book = await abstractionsBook()
  const tank = await book.ada.open('/works/tanks/new')
  await book.ada.send(tank, { number: '1', name: 'Hill', ...pump(tank), area: '4', height: '2' })
  return book
}

describe('a line of a small register', () => {
  it.each(CASES)(
    'is corrected whole and stays beside the new one: $what',
    async ({ at, path, fields, change, was, now }) => {
      const { ada, db } = await bookWithTank()
      const form = await ada.open(at)
      const line = await written(ada, { at, path }, fields(form))
      const correct = await ada.open(`${line}/correct`)
      for (const [name, value] of Object.entries(fields(form))) {
        const answers = answersOf(correct, name)
        if (answers.length > 0) expect(answers.find(({ holds }) => holds)?.value).toBe(value)
        else if (value !== 'yes') expect(typedIn(correct, name)).toBe(value)
      }
      const without = await ada.send(correct, change)
      expect(without.html.querySelector('#reason-error')).not.toBeNull()
      expect(typedIn(without, Object.keys(change)[0]!)).toBe(Object.values(change)[0])
      const mended = await ada.send(correct, { ...change, reason: 'misread by lamp' })
      expect(mended.status).toBe(200)
      expect(mended.path).not.toBe(line)
      expect(mended.words).toContain(now)
      expect(mended.words).toContain('misread by lamp')
      const old = await ada.open(line)
      expect(old.words).toContain('This entry no longer counts: Ada corrected it')
      expect(old.words).toContain(was)
      expect((await ada.open(`${line}/correct`)).status).toBe(409)
      expect((await verifyBook(db)).brokenAt).toBeNull()
    },
  )

  it.each(CASES)('can be struck out, and then counts no more: $what', async ({ at, path, fields }) => {
    const { ada } = await bookWithTank()
    const line = await written(ada, { at, path }, fields(await ada.open(at)))
    const struck = await ada.send(await ada.open(`${line}/correct`), { strike: 'yes', reason: 'never was' })
    expect(struck.words).toContain('This entry no longer counts: Ada struck it out')
    expect((await ada.open(path)).words).toContain('struck out')
  })

  it('is not corrected into nonsense, and what was typed comes back beside the sentence', async () => {
    const { ada } = await bookWithTank()
    const form = await ada.open('/log/round?as=meter')
    const line = await written(ada, CASES[0]!, CASES[0]!.fields(form))
    const correct = await ada.open(`${line}/correct`)
    const again = await ada.send(correct, { meter: 'a lot', reason: 'misread' })
    expect(again.status).toBe(422)
    expect(again.html.querySelector('#meter-error')).not.toBeNull()
    expect(typedIn(again, 'reason')).toBe('misread')
  })
})

describe('a mended fault', () => {
  it('keeps its mending when either is corrected, and is not struck out before it', async () => {
    const { ada } = await bookWithTank()
    const fault = await written(ada, CASES[2]!, CASES[2]!.fields(await ada.open('/log/faults/new')))
    const fix = await ada.open('/log/faults/mended')
    const faultId = optionValue(fix, 'faultId', 'seal leaks')
    const mending = await written(ada, MENDED, { faultId, cause: 'sand', daysLost: '2', cost: '100' })
    await ada.send(await ada.open(`${fault}/correct`), { what: 'cable cut', reason: 'looked again' })
    expect((await ada.open('/log/faults')).words).toContain('cable cut')
    expect((await ada.open('/log/faults')).words).toContain('2 days lost in all')
    const correct = await ada.open(`${mending}/correct`)
    expect(optionValue(correct, 'faultId', 'cable cut')).toBe(faultId)
    await ada.send(correct, { daysLost: '3', reason: 'counted again' })
    const faults = await ada.open('/log/faults')
    expect(faults.words).toContain('3 days lost in all')
    const standing = faults.html.querySelector('tbody th a')!.getAttribute('href')!
    const refused = await ada.send(await ada.open(`${standing}/correct`), { strike: 'yes', reason: 'no' })
    expect(refused.html.querySelector('#strike-error')?.text).toContain('Strike out the mending first')
  })
})

describe('a closed day', () => {
  it('is marked as closed before a correction of its draws or readings', async () => {
    const { ada, setNow, ...book } = await bookWithTank()
    const turnId = await book.writing((pen) => addTurn(pen, book))
    const times = { startTime: '08:00', endTime: '10:00' }
    const draw = await ada.fill(`/log/turns/${turnId}`, { opening: '100', closing: '104', ...times })
    await ada.fill('/log/close?as=new', { pumpId: book.pumpId, meter: '104' })
    expect((await ada.open('/log/close')).words).not.toContain('Closed before a correction')
    setNow('2026-06-11T15:00:00Z')
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    await ada.send(await ada.open(`${draw.path}/correct`), { closing: '103', reason: 'three, not four' })
    const closings = await ada.open('/log/close')
    expect(closings.words).toContain('Closed before a correction')
    expect(closings.words).toContain('three, not four')
  })
})

describe('the end of the book', () => {
  it('stands under the closings, so that whoever keeps the print finds a cut end', async () => {
    const { ada, db } = await bookWithTank()
    const { lastHash, entries } = await endOfBook(db)
    const printed = (await ada.open('/log/close')).html.querySelector('.book-end')!.text
    expect(printed).toContain(`The book held ${entries} entries`)
    expect(await findHash(db, printed.split('Check number of its last entry:')[1]!)).toEqual({
      ...{ at: 'here', entry: entries, later: 0 },
      writtenAt: expect.any(String),
    })
    expect(printed.replaceAll(' ', '')).toContain(lastHash)
  })
})

describe('a meter that was replaced', () => {
  const dawn = (on: string, reading: number) => ({ on, moment: 'dawn' as const, reading })

  it('lets each day count by the meter that stood there', () => {
    const readings = [dawn('2026-06-01', 5300), dawn('2026-06-02', 4), dawn('2026-06-03', 9990), dawn('2026-06-04', 6)]
    const exchanges = [{ on: '2026-06-01', oldLastM3: 5310, newFirstM3: 1, newDigits: 4 }]
    const days = pumpedOver({ readings, meterDigits: 5, readingStepM3: 0.1, exchanges })
    // 10 on the old one and 3 on the new one; then the new one's 4 digits begin again after 9999.
    expect(days.map(({ on, volumeM3 }) => [on, volumeM3])).toEqual([
      ['2026-06-01', 13],
      ['2026-06-02', 9986],
      ['2026-06-03', 16],
    ])
    expect(pumpedOver({ readings, meterDigits: 5, readingStepM3: 0.1 })).toHaveLength(1)
  })

  it('gives its digits to the draws after it, and its readings close the gap on either side', async () => {
    const { ada, db, pumpId } = await bookWithTank()
    const draw = (fields: Fields) => ada.fill('/log/water?use=flushing&method=meter', fields)
    const place = `pump:${pumpId}`
    const first = await draw({ place, opening: '5300', closing: '5302', startTime: '07:00', endTime: '07:40' })
    await ada.fill('/log/meter', { pumpId, oldLast: '5302', newFirst: '9998.5', digits: '4', atTime: '09:00' })
    const second = await draw({ place, opening: '9998.5', closing: '0.5', startTime: '10:00', endTime: '10:45' })
    expect((await listPumps(db, TODAY))[0]!.meterDigits).toBe(4)
    expect((await listPumps(db, '2026-06-10'))[0]!.meterDigits).toBe(5)
    expect(second.words).toContain('2 m³')
    for (const { path } of [first, second]) expect((await ada.open(path)).words).not.toContain('between them')
  })

  it('takes other digits with a draw in which it was replaced', async () => {
    const { ada, db, pumpId } = await bookWithTank()
    const fields = { place: `pump:${pumpId}`, opening: '5300', oldLast: '5301', newFirst: '9999', closing: '1' }
    const typed = { ...fields, newDigits: '4', startTime: '07:00', endTime: '08:30' }
    const draw = await ada.fill('/log/water?use=flushing&method=replaced', typed)
    expect(draw.words).toContain('3 m³')
    expect((await listPumps(db, TODAY))[0]!.meterDigits).toBe(4)
    const correct = await ada.open(`${draw.path}/correct`)
    expect(typedIn(correct, 'newDigits')).toBe('4')
  })
})
