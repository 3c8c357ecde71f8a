import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { addPump } from '../../../server/works/pump/store.ts'
import { writeDraw, writeLevel, writing } from '../season.ts'
import { bookWithWeir, errorBeside, signInAgain, tableRows } from '../support.ts'

/** A box of medium sand; the mark is half a metre above the crest, so a stick of 80 cm is water 30 cm down. */
async function restsBook(fallCm: number, rests: number, { weather = false, byHandM3 = 0 } = {}) {
  const book = await bookWithWeir({ valleyShape: 'rectangle' })
  const { db, weirId } = book
  await writing(
    db,
    async (pen) => {
      for (let rest = 0; rest <= rests; rest++) {
        const on = addDays('2026-06-05', 5 * rest)
        await writeLevel(pen, weirId, on, 80 + fallCm * (rest - rests / 2))
        if (rest === rests) break
        if (byHandM3 > 0) await writeDraw(pen, weirId, addDays(on, 1), byHandM3, { use: 'drinking' })
        for (let day = 0; weather && day < 5; day++)
          await addWeatherDay(pen, { onDate: addDays(on, day), tmaxC: 30, tminC: 16, rainMm: 0 })
      }
    },
    '2026-08-01T04:00:00.000Z',
  )
  book.setNow('2026-08-01T05:00:00Z')
  await signInAgain(book.ada)
  return { ...book, page: await book.ada.open(book.weirPath.replace('weirs', 'working/loss')) }
}

const part = (rows: string[][], words: string) => rows.find((row) => row[0]!.includes(words))![1]!

describe('the loss without pumping', () => {
  it('is all centimetres over all days of the rests', async () => {
    const { page } = await restsBook(2, 6) // 12 cm in 30 days
    expect(page.words).toContain('the level falls 0.4 cm a day')
    expect(page.words).toContain('falls 2.8 cm')
    expect(tableRows(page, 'Dry stretches without pumping')).toHaveLength(6)
    // 97.5 y² m3 at 1.7 m above the bed: 97.5 x (1.7² - 1.696²) = 1.32 m3 a day.
    expect(page.words).toContain('1.32 m³ a day')
  })

  it('is parted into evaporation from the sand by the depth of the water, and the rest as leak', async () => {
    const { page } = await restsBook(2, 6, { weather: true })
    const rows = tableRows(page, 'The fall of a day')
    expect(part(rows, 'Water below the sand')).toBe('0.3 m')
    // With the water 30 cm down sand gives off half of open water; in level that is over a yield of 26 per cent.
    const openMm = Number(part(rows, 'Open water').replace(' mm', ''))
    const sandMm = Number(part(rows, 'Sand with the water so deep').replace(' mm', ''))
    expect(openMm).toBeGreaterThan(3)
    expect(Math.abs(sandMm - openMm / 2)).toBeLessThan(0.03)
    expect(part(rows, 'Specific yield')).toBe('26%')
    const evaporatedCm = Number(part(rows, 'Of it evaporated').replace(' cm', ''))
    expect(Math.abs(evaporatedCm - sandMm / 10 / 0.26)).toBeLessThan(0.01)
    expect(Math.abs(Number(rows.at(-1)![1]!.replace(' cm', '').replace('−', '-')) - (0.4 - evaporatedCm))).toBeLessThan(
      0.011,
    )
  })

  it('names a level that rises by itself as water from the banks', async () => {
    const { page } = await restsBook(-1, 6, { weather: true })
    expect(page.words).toContain('the level rises 0.2 cm a day: the banks give more water back')
    expect(page.words).toContain('The rest: water that the banks give back')
  })

  it('cannot tell a return of the banks from a rise within the error of the readings, and counts it as no water', async () => {
    const { page } = await restsBook(-0.2, 6, { weather: true })
    expect(page.words).toContain('the level rises 0.04 cm a day, but that is no more than the readings may be wrong')
    expect(page.words).not.toContain('the banks give more water back')
    const lost = tableRows(page, 'Loss of a day by level').map((row) => Number(row.at(-1)))
    expect(lost.length).toBeGreaterThan(3)
    // The last line is the off-take at the bed, where nothing stands.
    expect(Math.min(...lost.slice(0, -1))).toBeGreaterThan(0)
  })

  it('puts back what was drawn by hand before it counts the fall', async () => {
    const { page } = await restsBook(2, 6, { byHandM3: 3 })
    // Near 1.7 m above the bed a centimetre holds 2 x 97.5 x 1.7 / 100 = 3.3 m3, so 3 m3 by hand is 0.9 of the 2 cm.
    const falls = tableRows(page, 'Dry stretches without pumping').map((row) => Number(row[2]))
    for (const fallCm of falls) expect(Math.abs(fallCm - 1.1)).toBeLessThan(0.11)
  })

  it('leaves out a rest in which more was drawn by hand than the sand can have lost', async () => {
    // 12 m3 are 3.6 cm near 1.7 m above the bed, more than the whole fall of 2 cm.
    const { page } = await restsBook(2, 6, { byHandM3: 12 })
    expect(page.words).toContain('Cannot say. No rest is in the book')
  })

  it('does not take a stretch for a rest in which a pump drew', async () => {
    const { ada, db, weirId, weirPath } = await restsBook(2, 6)
    await writing(db, async (pen) => {
      const pump = { number: 1, name: 'Lower', weirId, firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250 }
      const works = { usualFlowM3PerH: 3, meterDigits: 5, outletsAtOnce: 1, usualDayM3: null, fromOn: '2026-06-01' }
      const pumpId = await addPump(pen, { ...pump, ...works })
      await writeDraw(pen, weirId, '2026-06-06', 4, { pumpId })
    })
    const page = await ada.open(weirPath.replace('weirs', 'working/loss'))
    expect(tableRows(page, 'Dry stretches without pumping')).toHaveLength(5)
  })

  it('says that a few rests are not enough, and none nothing', async () => {
    expect((await restsBook(2, 3)).page.words).toContain('rests on 3 rests only')
    const none = await restsBook(2, 0)
    expect(none.page.words).toContain('Cannot say. No rest is in the book')
  })

  it('says that evaporation cannot be told from leak without the weather', async () => {
    expect((await restsBook(2, 6)).page.words).toContain('evaporation cannot be told from leak')
  })

  it('is settled by the committee from a day on, with the older kept before it', async () => {
    const { ada, weirPath } = await restsBook(2, 6)
    const form = await ada.open(weirPath.replace('weirs', 'settle/loss'))
    expect(form.html.querySelector('#lossCmPerDay')?.getAttribute('value')).toBe('0.4')
    const bad = await ada.send(form, { fromOn: '2026-05-01', words: 'six rests' })
    expect(errorBeside(bad, 'fromOn')).toContain('The present survey holds from 1 Jun 2026')
    const weir = await ada.send(form, { fromOn: '2026-07-20', words: 'six rests' })
    expect(weir.words).toContain('From 20 Jul 2026: fall without pumping set to 0.4 cm a day')
    expect(weir.words).toContain('From 1 Jun 2026: 2 m deep')
    expect((await ada.open(weirPath.replace('weirs', 'working/loss'))).words).toContain(
      '0.4 cm a day, from 20 Jul 2026',
    )
  })
})

describe('the loss that the path reckons with', () => {
  const levels = 'Loss of a day by level of the water'

  it('is fitted to the rests of the book, level by level, once their weather is written', async () => {
    const { page, ada } = await restsBook(2, 6, { weather: true })
    expect(page.words).toContain('Fitted to 6 rests of 30 days in all')
    const rows = tableRows(page, levels)
    // Crest, three depths of the quoted curve, the last reading and the off-take, from above; all m3 a day.
    expect(rows.map((row) => row[0]!.split(' ').at(-2))).toEqual(['100', '99.7', '99.64', '99.4', '99', '98'])
    const all = rows.map((row) => Number(row.at(-1)))
    expect(all).toEqual(all.toSorted((a, b) => b - a))
    // What the rests showed near 1.7 m above the bed, 1.32 m3 a day, within what is not known of it.
    expect(all[1]!).toBeGreaterThan(1.1)
    expect(all[1]!).toBeLessThan(1.9)
    // A metre down the sand dries no more: the leak alone is left, and the reserve keeps less for it.
    expect(Number(rows[4]![1])).toBe(0)
    expect(all[4]!).toBeLessThan(0.5 * all[1]!)
    const reserve = await ada.open(page.path.replace('working/loss', 'working/kept'))
    expect(reserve.words).toContain('By 6 rests, level by level')
  })

  it('is the mean of the rests while their weather is not written, and the settled fall while there is none', async () => {
    expect((await restsBook(2, 6)).page.words).toContain('so the mean of the rests counts')
    expect((await restsBook(2, 0)).page.words).toContain(
      'Until the book holds a rest: the fall that the group settled on',
    )
  })

  it('asks for a rest every four weeks, on the loss page, the water page and the first page', async () => {
    // The last rest of six ended on 5 July; by 1 August that is 27 days ago.
    const book = await restsBook(2, 6)
    const asked = 'the last rest of the pump that the book could read ended on 5 Jul 2026'
    expect(book.page.words).not.toContain('rest of the pump')
    book.setNow('2026-08-03T05:00:00Z')
    await signInAgain(book.ada)
    for (const path of [book.weirPath.replace('weirs', 'working/loss'), '/water'])
      expect((await book.ada.open(path)).words).toContain(asked)
    const home = await book.ada.open('/')
    expect(home.words).toMatch(/Find out what the sand loses by itself.*two or three days with the pump off at /)
    const why = home.html.querySelector('main a[href^="/water/working/loss/"]')!.getAttribute('href')!
    expect((await book.ada.open(why)).html.querySelector('main a[href="/turns/settle/no-turn-day"]')).not.toBeNull()
    expect((await restsBook(2, 0)).page.words).toContain('the book holds no rest of the pump')
  })
})
