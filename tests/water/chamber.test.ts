import { describe, expect, it } from 'vitest'
import { chamberLimits } from '../../server/water/chamber/store.ts'
import { addPump } from '../../server/works/pump/store.ts'
import type { Fields } from '../support/visitor.ts'
import { writing } from './season.ts'
import { bookWithWeir, errorBeside, readLevel, tableRows } from './support.ts'

const CHAMBER: Fields = {
  ...{ shape: 'round', across: '1.5', depth: '3', rimAboveCrest: '0', stopBelowRim: '200', fromOn: '2026-06-01' },
}
// A chamber 1.5 m wide that refills from 1.2 m to 0.5 m of drawdown in 40 minutes (derived): 0.03868 m2 a minute,
// 30.9 litres a minute at 0.8 m, nine tenths back after 105.2 minutes, steady drawdown 0.517 m at 20 litres a minute.
const TEST: Fields = { testedOn: '2026-06-03', rest: '40', readings: '0; 160\n40; 90' }

async function tested(test: Fields = {}, chamber: Fields = {}) {
  const book = await bookWithWeir()
  await book.ada.fill(`${book.weirPath}/chamber`, { ...CHAMBER, ...chamber })
  const page = await book.ada.fill(`${book.weirPath}/refill`, { ...TEST, ...test })
  return { ...book, page, path: book.weirPath.replace('weirs', 'working/chamber') }
}

/** The crest is at 100 m and the pump stops at 98 m; a stick of 170 cm from the mark at 100.5 m is a head of 0.8 m. */
const HEAD_OF_80_CM = { depth: '170' }

async function withPump(flowM3PerH: number) {
  const book = await tested()
  await readLevel(book.ada, 'Fig', HEAD_OF_80_CM)
  await writing(book.db, (pen) =>
    addPump(pen, {
      ...{ number: 1, name: 'Lower', weirId: book.weirId, firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250 },
      ...{ usualFlowM3PerH: flowM3PerH, meterDigits: 5, outletsAtOnce: 1, usualDayM3: null, fromOn: '2026-06-01' },
    }),
  )
  return book.ada.open(book.path)
}

describe('the collecting chamber', () => {
  it('gives 31 litres a minute at a head of 80 cm, as worked by hand, and shows what that rests on', async () => {
    const { ada, path, page } = await tested()
    expect(page.words).toContain('Cannot say. Nobody has written in a level reading.')
    await readLevel(ada, 'Fig', HEAD_OF_80_CM)
    const seen = await ada.open(path)
    expect(seen.words).toContain('about 1.9 m³ an hour without end, 31 litres a minute; between 1.8 and 1.9')
    const rows = tableRows(seen, 'Chamber, test and level')
    const value = (words: string) => rows.find((row) => row[0]!.includes(words))![1]
    expect(value('Inside area')).toBe('1.77 m² 1 Jun 2026') // 1.767146
    expect(value('Conductance')).toBe('2.32 m²/h 3 Jun 2026') // 0.03867702 x 60
    expect(value('Nine tenths')).toBe('105 min') // 105.2047
    expect(value('Head')).toBe('80 cm')
    expect(value('Water level in the sand')).toBe('98.8 m 4 Jun 2026')
    // At rest the test had 40 cm below the rim, so 99.6 m; today 98.8 m.
    expect(seen.words).toContain('now stands 80 cm lower than at the test. Test again')
    expect(seen.html.querySelector('.caution')?.text).toContain('air can kill')
  })

  it('tells the weekly plan what the pump may count on', async () => {
    const { ada, db, weirId } = await tested()
    expect(await chamberLimits(db, '2026-06-04')).toEqual(new Map())
    await readLevel(ada, 'Fig', HEAD_OF_80_CM)
    const limit = (await chamberLimits(db, '2026-06-04')).get(weirId)
    expect(limit?.sustainedM3PerH).toBeCloseTo((30.94162 * 60) / 1000, 4)
    // A plan made on the day before the test knows nothing of it.
    expect((await chamberLimits(db, '2026-06-02')).size).toBe(0)
  })

  it('says that a pump of 20 litres a minute settles 52 cm down', async () => {
    expect((await withPump(1.2)).words).toContain('the chamber keeps up; its water settles 52 cm below')
  })

  it('says that a pump outruns it, and when it must stop', async () => {
    const page = await withPump(3)
    expect(page.words).toContain('Pump 1 Lower outruns the chamber: it takes 3 m³ an hour, and only 1.9 come in')
    // 60 x 1.767146 / 2.320621 x ln(3 / (3 - 1.856497)) = 44.1 minutes.
    expect(page.words).toContain('must stop after 44 minutes')
  })

  it('fits five readings by least squares', async () => {
    // 1.2 m wide; drawdowns 1.0, 0.82, 0.68, 0.45 and 0.31 m: 0.044371 m2 a minute (derived), 2.66 m2 an hour.
    const readings = '0\t150\n5\t132\n10\t118\n20\t95\n30\t81'
    const { page } = await tested({ rest: '50', readings }, { across: '1,2' })
    expect(page.words).toContain('Conductance 2.66 m²/h')
  })

  it('agrees with the open well 4 m wide that fills half of 2.5 m in 90 minutes', async () => {
    // Recalled from Subramanya, Engineering Hydrology (memory): 5.81 m2 an hour.
    const { page } = await tested({ rest: '0', readings: '0; 250\n90; 125' }, { across: '4' })
    expect(page.words).toContain('Conductance 5.81 m²/h')
  })

  it('takes an oblong one by both sides', async () => {
    const { page } = await tested({}, { shape: 'box', across: '1.5', otherSide: '2' })
    const area = tableRows(page, 'Chamber, test and level').find((row) => row[0] === 'Inside area')!
    expect(area[1]).toContain('3 m²')
    expect(page.words).toContain('Holds when full to the rim 9,000 L')
  })

  it('never counts a head below the mouth of the off-take', async () => {
    const { ada, path } = await tested({}, { stopBelowRim: '290' })
    await readLevel(ada, 'Fig', HEAD_OF_80_CM)
    const rows = tableRows(await ada.open(path), 'Chamber, test and level')
    expect(rows.find((row) => row[0]!.startsWith('Head'))![1]).toBe('80 cm')
  })

  it('takes a test in which no water came back, and says what to look at', async () => {
    const { page, db } = await tested({ readings: '0; 160\n40; 160' })
    expect(page.words).toContain('In the test the water did not come back')
    expect((await chamberLimits(db, '2026-06-04')).size).toBe(0)
  })

  it.each([
    ['readings', '0; 160', 'two readings or more'],
    ['readings', '0; 160\n0; 150', 'Line 2: the minutes must rise'],
    ['readings', '-5; 160\n40; 90', 'Line 1: the minutes must rise'],
    ['readings', '0; 160\n40; 40', 'Line 2: the water is not below its level at rest'],
    ['readings', '0; 160\n40; up', 'Line 2: “up” is not a number'],
    ['readings', '0; 160; 3\n40; 90; 3', 'Line 1: there are 3 figures, and 2 are needed'],
    ['testedOn', '2026-06-05', 'still to come'],
    ['rest', '', 'Please fill this in'],
  ])('refuses %s “%s” of a test beside the field and keeps what was typed', async (field, typed, words) => {
    const { page, db } = await tested({ [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#readings')?.text).toBe(field === 'readings' ? typed : TEST.readings)
    expect(await db.selectFrom('refillTest').selectAll().execute()).toEqual([])
  })

  it.each([
    ['stopBelowRim', '300', 'above the floor, which you put 300 cm below the rim'],
    ['across', '0', 'from 0.3 to 20'],
    ['fromOn', '2026-06-05', 'still to come'],
  ])('refuses %s “%s” of a chamber beside the field', async (field, typed, words) => {
    const { ada, weirPath, db } = await bookWithWeir()
    const page = await ada.fill(`${weirPath}/chamber`, { ...CHAMBER, [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(await db.selectFrom('chamber').selectAll().execute()).toEqual([])
  })

  it('asks for the chamber before a test', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await ada.open(`${weirPath}/refill`)
    expect(page.status).toBe(409)
    expect(page.words).toContain('Write in the measures of the chamber first')
  })
})
