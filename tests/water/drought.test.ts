import { describe, expect, it } from 'vitest'
import { declaredStage } from '../../server/water/drought/store.ts'
import { optionValue, type Visitor } from '../support/visitor.ts'
import { bookOf640, PLAN } from './sand/box-of-640.ts'
import { bookWithWeir, errorBeside, putName, readLevel, secondName, signInAgain, tableRows } from './support.ts'

const CAREFUL = {
  severity: '1',
  name: 'Be careful',
  words: 'Nobody irrigates at noon.',
  belowLevel: '99.5',
  food: '80',
  market: '50',
  late: '0',
  endCondition: 'A flood has filled weir 1 above the second mark.',
}

async function writeStage(ada: Visitor, fields: Record<string, string> = {}) {
  const form = await ada.open('/water/dry/stage')
  return ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...CAREFUL, ...fields })
}

async function readOn(book: { ada: Visitor; setNow(at: string): void }, day: string, depth: string) {
  book.setNow(`2026-06-${day}T05:00:00Z`)
  await signInAgain(book.ada)
  const before = String(Number(day) - 1).padStart(2, '0')
  return readLevel(book.ada, 'Fig', { depth, readOn: `2026-06-${day}`, pumpOffOn: `2026-06-${before}` })
}

async function declare(ada: Visitor, fields: Record<string, string> = {}) {
  const form = await ada.open('/water/dry/declare')
  const stageId = optionValue(form, 'stageId', 'Be careful')
  return ada.send(form, { stageId, fromOn: '2026-06-04', reason: 'Decided at the meeting', ...fields })
}

describe('a drought stage', () => {
  it('is proposed only when two readings in a row have passed its mark', async () => {
    const book = await bookWithWeir()
    const { ada } = book
    await writeStage(ada)
    await readOn(book, '04', '90') // 99.6 m: above the mark of 99.5
    expect((await ada.open('/water/dry')).words).toContain('The last two readings call for no stage.')
    await readOn(book, '05', '110') // 99.4 m
    const waiting = await ada.open('/water/dry')
    expect(waiting.words).toContain('wait for the second reading')
    expect(waiting.words).toContain('call for no stage')
    await readOn(book, '06', '111')
    const page = await ada.open('/water/dry')
    expect(page.words).toContain('Proposed: stage 1, Be careful. Weir 1: water below 99.5 m, two readings in a row.')
    expect(page.words).toContain('No stage is declared.')
    expect(tableRows(page, 'last two days').map((row) => row.slice(1, 3))).toEqual([
      ['5 Jun 2026', '99.4'],
      ['6 Jun 2026', '99.39'],
    ])
  })

  it('is not proposed by two sticks of one morning', async () => {
    const book = await bookWithWeir()
    await writeStage(book.ada)
    await readOn(book, '04', '90')
    await readOn(book, '05', '110')
    await readLevel(book.ada, 'Fig', { depth: '112', readOn: '2026-06-05', readAt: '06:40', pumpOffOn: '2026-06-04' })
    expect((await book.ada.open('/water/dry')).words).toContain('wait for the second reading')
  })

  it('is proposed by the cautious days to the drinking line', async () => {
    const book = await bookOf640({ bedSlope: '0.5' }, '89.6')
    const { ada, weirPath } = book
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    await writeStage(ada, { belowLevel: '', belowCoverDays: '4' })
    // Twice as much sand, guessed in yield and shape: 1560 x 0.4128 = 644 at the crest. Low: 644 x (1.584 / 2)^2 = 404 m3. On day 3 361.5 stand where 72 days ask for 362.5; with the same stick a day later
    // 71 days ask for 357.0, and the line comes on day 4.
    await readOn(book, '05', '89.6')
    const rows = tableRows(await ada.open('/water/dry'), 'last two days')
    expect(rows.map((row) => row[3])).toEqual(['3', '4'])
    expect((await ada.open('/water/dry')).words).toContain('call for no stage')
    await ada.send(
      await ada.open((await ada.open('/water/dry')).html.querySelector('a[href$="/correct"]')!.getAttribute('href')!),
      { belowCoverDays: '5', reason: 'Sooner' },
    )
    expect((await ada.open('/water/dry')).words).toContain('Proposed: stage 1')
  })

  it('holds only once people declare it, and until they lift it, with names and reasons', async () => {
    const book = await bookWithWeir()
    const { ada, db } = book
    const bela = await secondName(book, ada)
    await writeStage(ada)
    expect(await declaredStage(db, '2026-06-04')).toBeNull()
    const alone = await declare(ada)
    expect(alone.path).toBe('/water/dry')
    expect(alone.words).toContain('Stage 1, Be careful, is to hold from 4 Jun 2026.')
    expect(alone.html.querySelector('form[action^="/book/names/"]')).toBeNull()
    expect(await declaredStage(db, '2026-06-04')).toBeNull()
    expect((await bela.open('/')).words).toContain('a stage of drought that Ada has declared')
    const page = await putName(bela, '/water/dry')
    expect(page.words).toContain('Stage 1, Be careful, holds since 4 Jun 2026; declared by Ada.')
    expect(page.words).toContain('Food crops: 80%; Market crops: 50%; Late plantings: 0%')
    expect(page.words).toContain('The readings did not call for it then.')
    expect(await declaredStage(db, '2026-06-04')).toMatchObject({
      stage: 1,
      capByClass: { nursery: 1, perennials: 1, food: 0.8, market: 0.5, late: 0 },
      reason: 'Decided at the meeting',
    })
    expect(await declaredStage(db, '2026-06-03')).toBeNull()
    const lift = page.html.querySelector('a[href^="/water/dry/declare/"]')!.getAttribute('href')!
    const early = await ada.fill(lift, { liftedOn: '2026-06-03', reason: 'Flood came' })
    expect(errorBeside(early, 'liftedOn')).toContain('before the day from which it holds')
    expect((await ada.fill(lift, { liftedOn: '2026-06-10', reason: 'Flood came' })).words).toContain('is to be lifted')
    expect(await declaredStage(db, '2026-06-10')).not.toBeNull()
    const lifted = await putName(bela, '/water/dry')
    expect(lifted.words).toContain('Lifted from 10 Jun 2026 by Ada: “Flood came”.')
    expect((await declaredStage(db, '2026-06-09'))?.stage).toBe(1)
    expect(await declaredStage(db, '2026-06-10')).toBeNull()
    expect((await ada.open(lift)).status).toBe(409)
  })

  it('that the readings called for says so, and is asked for on the first page only until it holds', async () => {
    const book = await bookWithWeir()
    const { ada } = book
    const bela = await secondName(book, ada)
    await writeStage(ada)
    await readOn(book, '04', '110')
    await readOn(book, '05', '111')
    const asked = async () => (await ada.open('/')).html.querySelector('main a[href="/water/dry"]') !== null
    expect(await asked()).toBe(true)
    await declare(ada, { fromOn: '2026-06-05' })
    await bela.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
    const page = await putName(bela, '/water/dry')
    expect(page.words).toContain('Stage 1, Be careful, holds since 5 Jun 2026')
    expect(page.words).not.toContain('The readings did not call for it then.')
    expect(await asked()).toBe(false)
    const lift = page.html.querySelector('a[href^="/water/dry/declare/"]')!.getAttribute('href')!
    expect((await ada.fill(lift, { liftedOn: '2026-06-05', reason: 'Flood came' })).words).toContain('is to be lifted')
  })

  it('is declined with a reason or withdrawn by whoever declared it, and never holds then', async () => {
    const book = await bookWithWeir()
    const { ada, db } = book
    await writeStage(ada)
    const bela = await secondName(book, ada)
    for (const visitor of [bela, ada]) {
      await declare(ada)
      const page = await visitor.open('/water/dry')
      const door = page.html.querySelector('a[href^="/book/names/"]')!.getAttribute('href')!
      const after = await visitor.fill(door, { reason: 'it rained' })
      expect(after.path).toBe('/water/dry')
      expect(after.words).not.toContain('is to hold from')
      expect((await visitor.open(door)).status).toBe(409)
    }
    expect((await bela.open('/')).words).not.toContain('a stage of drought')
    expect(await declaredStage(db, '2026-06-04')).toBeNull()
  })

  it('keeps the old wording for what was declared under it', async () => {
    const book = await bookWithWeir()
    const { ada, db } = book
    const page = await writeStage(ada)
    await declare(ada)
    await putName(await secondName(book, ada), '/water/dry')
    const change = page.html.querySelector('a[href$="/correct"]')!.getAttribute('href')!
    const changed = await ada.fill(change, { name: 'Take care', food: '60', reason: 'The meeting wished it' })
    expect(changed.words).toContain('Stage 1: Take care')
    expect(changed.words).toContain('Stage 1, Be careful, holds since')
    expect((await declaredStage(db, '2026-06-04'))?.capByClass.food).toBe(0.8)
  })

  it.each([
    ['severity', { severity: '0' }, 'from 1 to 9'],
    ['name', { name: '' }, 'Please fill this in'],
    ['food', { food: '120' }, 'from 0 to 100'],
    ['belowLevel', { belowLevel: '' }, 'Write one mark'],
    ['belowLevel', { belowCoverDays: '20' }, 'Write one mark'],
    ['belowCoverDays', { belowLevel: '', belowCoverDays: 'few' }, 'is not a number'],
  ])('is refused with a wrong %s beside the field', async (field, fields, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await writeStage(ada, fields as Record<string, string>)
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#market')?.getAttribute('value')).toBe('50')
    expect(await db.selectFrom('droughtStage').selectAll().execute()).toEqual([])
  })

  it('is refused with a number that another has, and declared neither unknown nor far ahead', async () => {
    const { ada, db } = await bookWithWeir()
    await writeStage(ada)
    expect(errorBeside(await writeStage(ada, { name: 'Worse' }), 'severity')).toContain('already written')
    expect(errorBeside(await declare(ada, { stageId: 'none' }), 'stageId')).toContain('Choose one')
    expect(errorBeside(await declare(ada, { fromOn: '2026-08-01' }), 'fromOn')).toContain('more than 31 days')
    expect(errorBeside(await declare(ada, { reason: '' }), 'reason')).toContain('Please fill this in')
    expect(await db.selectFrom('droughtDeclaration').selectAll().execute()).toEqual([])
  })
})
