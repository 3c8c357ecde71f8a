import { describe, expect, it } from 'vitest'
import { liveSeason, writeLevel, writing } from '../season.ts'
import { bookWithWeir, errorBeside, secondName, signedInAgainAsBela, signInAgain, tableRows } from '../support.ts'

// A box 15 m wide on 2 per cent of medium sand: 15 x y² / (2 x 0.02) x 0.26 = 97.5 y² m3 by the survey. The sand of
// these tests truly holds four fifths of it, 78 y², and falls 0.3 cm a day by itself; both are hidden from the book.
const TRUTH = { m3PerM2: 78, lossCmPerDay: 0.3 }
const VARIED = [20, 0, 36, 12, 0, 40, 28, 0, 18, 32, 0, 20]

async function season(weeksM3: readonly number[] = VARIED, readEvery = 1) {
  const book = await bookWithWeir({ valleyShape: 'rectangle' })
  // While the book is new; months later an office would wait for a second name itself.
  await secondName(book, book.ada)
  await liveSeason(book.db, book.weirId, { ...TRUTH, weeksM3, readEvery })
  book.setNow('2026-09-17T05:00:00Z')
  await signInAgain(book.ada)
  const bela = await signedInAgainAsBela(book)
  return { ...book, bela, page: await book.ada.open(`${book.weirPath}/check`) }
}

const words = 'the season says so'
const answer = (given: string) => ({ answer: given, words })

describe('the calibration from the book', () => {
  it('finds the hidden sand and the hidden loss, and shows the proposal beside the old', async () => {
    const { page } = await season()
    expect(page.words).toContain('85 readings')
    // Six bands of a third of a metre, the crest's first; the lowest was never read and stays guessed.
    const bands = tableRows(page, 'Water in a centimetre')
    expect(bands).toHaveLength(6)
    for (const band of bands) expect(Math.abs(Number(band[2]) - 0.8)).toBeLessThanOrEqual(0.1)
    expect(bands.map((band) => band[0]!.includes('guessed'))).toEqual([false, false, false, false, false, true])
    expect(page.words).toContain('That holds if all that was drawn is in the log')
    expect(Number(/level falls ([\d.]+) cm a day/.exec(page.words)![1])).toBeCloseTo(0.3, 1)
    const full = tableRows(page, 'old beside the new')[0]!
    expect(full.slice(0, 3)).toEqual(['50', '100', '390']) // 97.5 x 2²
    expect(Math.abs(Number(full[3]) - 312)).toBeLessThanOrEqual(8) // 78 x 2²
    expect(page.words).toContain('standard error')
  })

  it('says what it changes in days of cover, once people and the late rain are known', async () => {
    const { ada, page, weirPath } = await season()
    expect(page.words).toContain('What it changes cannot be said yet')
    const none = { pupils: '0', cattle: '0', donkeys: '0', goatsAndSheep: '0' }
    await ada.fill('/water/kept/count', {
      weirId: weirPath.split('/').at(-1)!,
      people: '100',
      ...none,
      fromOn: '2026-06-04',
    })
    await ada.fill('/water/settle/late-rain', { lateRainOn: '2026-10-10', wetRain: '10', fromOn: '2026-06-04' })
    const rows = tableRows(await ada.open(`${weirPath}/check`), 'Days until only')
    expect(rows.map((row) => row[0])).toEqual(['cautious', 'middle', 'hopeful', 'middle, if irrigation stops today'])
    for (const row of rows) expect(row[1]).toMatch(/today|days?, /)
  })

  it('takes the answer of two, and grades the storage calibrated from its day', async () => {
    const { ada, bela, page, weirPath, db } = await season()
    const waiting = await ada.send(page, answer('accept'), `${weirPath}/check`)
    expect(waiting.words).toContain('waits for a second name')
    expect((await ada.open(weirPath.replace('weirs', 'working/store'))).words).toContain('Grade: guessed')
    await bela.fill(waiting.path, {}, { action: waiting.path })
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(storage.words).toContain('Grade: corrected by the group’s own books')
    expect((await ada.open(waiting.path)).words).toContain('Readings from 4 Jun 2026 to 27 Aug 2026')
    // The week before keeps the survey's curve, and the fall found with the table holds from its day.
    const table = await db.selectFrom('levelVolumeTable').selectAll().executeTakeFirstOrThrow()
    expect(table).toMatchObject({ fromOn: '2026-09-17', grade: 'calibrated', answer: 'accept' })
    expect(table.lossCmPerDay).toBeCloseTo(0.3, 1)
    expect((await ada.open(weirPath)).words).toContain('From 17 Sept 2026: table of levels, corrected by the group’s')
  })

  it('takes a decline with two names and changes nothing', async () => {
    const { ada, bela, page, weirPath } = await season()
    const waiting = await ada.send(page, answer('decline'), `${weirPath}/check`)
    expect(waiting.words).toContain('Somebody would decline it')
    const done = await bela.fill(waiting.path, {}, { action: waiting.path })
    expect(done.words).toContain('Declined.')
    expect((await ada.open(weirPath.replace('weirs', 'working/store'))).words).toContain('Grade: guessed')
  })

  it('asks again when the book changed under the page, and for a reason', async () => {
    const { ada, page, weirPath, weirId, db } = await season()
    const reason = await ada.send(page, { answer: 'accept', words: '' }, `${weirPath}/check`)
    expect(reason.status).toBe(422)
    expect(errorBeside(reason, 'words')).toContain('Please fill this in')
    const last = await db.selectFrom('levelReading').select('depthCm').orderBy('onDate', 'desc').executeTakeFirst()
    await writing(db, (pen) => writeLevel(pen, weirId, '2026-09-03', last!.depthCm + 2))
    const changed = await ada.send(page, answer('accept'), `${weirPath}/check`)
    expect(changed.status).toBe(422)
    expect(changed.words).toContain('The book has changed since this page was opened')
    expect(await db.selectFrom('levelVolumeTable').selectAll().execute()).toEqual([])
  })

  it('cannot tell loss from yield apart when every week drew the same', async () => {
    const { page } = await season(new Array(12).fill(10))
    expect(page.words).toContain('cannot tell loss from yield apart')
    expect(page.html.querySelector('main form')).toBeNull()
  })

  it('says what is missing in a short book', async () => {
    const { page } = await season([10, 0, 6], 7)
    expect(page.words).toContain('Only 4 settled readings stand in dry stretches; 10 are needed')
    expect(page.words).toMatch(/fell only \d+ cm in all; 20 cm are needed/)
  })

  it('leaves wet stretches out and passes over a reading taken soon after pumping', async () => {
    const { ada, db, weirId, weirPath } = await season(VARIED, 7)
    await ada.fill('/crops/weather/new', { onDate: '2026-06-20', rainMm: '25' })
    await writing(db, (pen) => writeLevel(pen, weirId, '2026-07-05', 130, 2))
    const page = await ada.open(`${weirPath}/check`)
    expect(page.words).toContain('readings of 5 Jul 2026')
    const stretches = tableRows(page, 'Stretches between settled readings')
    expect(stretches).toHaveLength(12)
    expect(stretches.find((row) => row[0]!.startsWith('18 Jun'))?.[3]).toContain('no: rain above the mark')
  })
})
