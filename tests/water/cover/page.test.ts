import { describe, expect, it } from 'vitest'
import { coverStates } from '../../../server/water/cover/state.ts'
import { coverSentence } from '../../../server/water/cover/words.ts'
import { abstractionsBook, addTurn } from '../../abstractions/book.ts'
import { optionValue } from '../../support/visitor.ts'
import { BOX, bookOf640, fact, PEOPLE, PLAN } from '../sand/box-of-640.ts'
import { bookWithWeir, errorBeside, readLevel, signInAgain, tableRows, workingValue } from '../support.ts'

describe('days of cover', () => {
  it('are those of the worked case, with and without irrigation', async () => {
    const { ada, weirPath } = await bookOf640()
    const page = await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    expect(page.path).toBe(weirPath.replace('weirs', 'working/lasts'))
    expect(fact(page, 'Middle')).toBe('4 Jul 2026, in 30 days')
    expect(page.words).toContain(
      'If irrigation stops today: people and animals find water above the foot pipe up to 1 Oct',
    )
    expect(page.words).toContain('119 days from now')
    expect(tableRows(page, 'With the weekly plan')[0]!.slice(3)).toEqual(['640', expect.any(String), '380'])
    expect(workingValue(page, 'People and animals in a day')).toBe('4.5 m³')
  })

  it('give a cautious and a hopeful date by the yield and shape of the sand and 2 cm of level', async () => {
    const { ada, weirPath } = await bookOf640()
    const page = await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    // Medium sand yields 0.15 to 0.32 and the shape holds half to twice: 0.4128 to 2.0617 times the likely. Cautious: 780 x
    // (1.7916 / 2)^2 x 0.4128 = 258.4, less than the 379 to keep.
    expect(fact(page, 'Cautious')).toBe('reached already')
    // Hopeful: 780 x (1.8316 / 2)^2 x 2.0617 = 1348.7; 54 days take 702 m3 and the loss, and leave more than 21 days ask for.
    expect(fact(page, 'Hopeful')).toBe('not before the late date of rain')
    const line =
      'Without rain it reaches the drinking line most likely near 4 Jul 2026, as early as 4 Jun 2026; by the hopeful figure it holds'
    expect(page.words).toContain(line)
    expect((await ada.open('/water')).words).toContain(line)
  })

  it('say so plainly when there is no plan, and still tell how long people and animals find water', async () => {
    const { ada, weirPath } = await bookOf640()
    const page = await ada.open(weirPath.replace('weirs', 'working/lasts'))
    expect(page.words).toContain('because no week has been published and nobody has set a weekly plan')
    expect(page.words).toContain('up to 1 Oct 2026')
    expect(page.words).not.toContain('Middle')
  })

  it('cannot be said without a reading, a count and the late date of rain', async () => {
    const { ada, weirPath } = await bookWithWeir(BOX)
    const page = await ada.open(weirPath.replace('weirs', 'working/lasts'))
    expect(page.words).toContain('Cannot say how long it lasts.')
    expect(page.words).toContain('The late date of rain is not set')
    expect((await ada.open('/water')).words).toContain('Cannot say how long it lasts.')
  })

  it('bring an older reading forward by what was drunk since', async () => {
    const { ada, weirPath, setNow } = await bookOf640()
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    setNow('2026-06-08T05:00:00Z')
    await signInAgain(ada)
    const page = await ada.open(weirPath.replace('weirs', 'working/lasts'))
    // Four days of 4.5 m3 and of 1.92 m3 lost: 614 m3 are left, and 71 days ask for 357 m3; they meet on day 29.
    expect(workingValue(page, 'Drunk since then')).toBe('18 m³')
    expect(tableRows(page, 'With the weekly plan')[0]!.slice(3)).toEqual(['614', expect.any(String), '357'])
    expect(fact(page, 'Middle')).toBe('7 Jul 2026, in 29 days')
  })

  it('stop at once where the water is below the drinking line already', async () => {
    const { ada, weirPath } = await bookOf640()
    await readLevel(ada, 'Fig', { depth: '130', readAt: '06:20' })
    await readLevel(ada, 'Fig', { depth: '130', readAt: '06:40' }) // 780 x (1.2 / 2)^2 = 281 m3, less than 380
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    expect((await ada.open(weirPath.replace('weirs', 'working/lasts'))).words).toContain('irrigate nothing from here')
  })

  it('count the chosen part of the leak of the weir above, and show it there and here', async () => {
    const { ada, weirPath } = await bookOf640({ loss: '1' })
    const lower = await ada.fill('/water/weirs/new', {
      ...{ number: '2', name: 'Ford', distance: '900', crestLevel: '90', crestHeight: '2', crestWidth: '15' },
      ...{ bedSlope: '1', valleyShape: 'rectangle', sandType: 'medium-sand', offTakeAboveBed: '0' },
      ...{ markAboveCrest: '0.5', loss: '0', fromOn: '2026-06-01' },
    })
    await readLevel(ada, 'Ford', { depth: '68.84' })
    const form = await ada.open('/water/kept/count')
    await ada.send(form, { weirId: optionValue(form, 'weirId', 'Ford'), ...PEOPLE })
    await ada.fill(lower.path.replace('weirs', 'settle/plan'), PLAN)
    const alone = tableRows(await ada.open(lower.path.replace('weirs', 'working/lasts')), 'With the weekly plan')
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), { ...PLAN, weeklyPlan: '0', leakShare: '50' })
    const fed = await ada.open(lower.path.replace('weirs', 'working/lasts'))
    // After a week alone: 0.997^7 x 640 - 13 (1 - 0.997^7) / 0.003 = 536.5. The first centimetre of the upper weir is 780 x (1.8116^2 - 1.8016^2) / 4 = 7.0 m3 a
    // day, half of which arrives from the first evening on: about 24 m3 more.
    expect(['536', '537']).toContain(alone[1]![3])
    const more = Number(tableRows(fed, 'With the weekly plan')[1]![3]) - 536.5
    expect(more).toBeGreaterThanOrEqual(22)
    expect(more).toBeLessThanOrEqual(25)
    expect(fed.words).toContain('leak of weir 1, Fig tree, come in from above')
    expect((await ada.open(weirPath.replace('weirs', 'working/lasts'))).words).toContain('go to weir 2, Ford')
  })

  it.each([
    ['leakShare', '120', 'from 0 to 100'],
    ['leakShare', '', 'Please fill this in'],
    ['weeklyPlan', 'much', 'is not a number'],
    ['weeklyPlan', '-5', 'from 0 to 10,000,000'],
    ['fromOn', '2026-02-30', 'not a day on the calendar'],
  ])('refuse a term with %s “%s” beside the field and write nothing', async (field, typed, words) => {
    const { ada, db, weirPath } = await bookWithWeir()
    const page = await ada.fill(weirPath.replace('weirs', 'settle/plan'), {
      ...PLAN,
      words: 'seen in May',
      [field]: typed,
    })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#words')?.getAttribute('value')).toBe('seen in May')
    expect(await db.selectFrom('coverTerm').selectAll().execute()).toEqual([])
  })
})

describe('the sentence of a weir', () => {
  const RAIN = '2026-07-28'
  type Days = [cautious: string | null, middle: string | null, hopeful: string | null]
  const said = (days: Days, more: { on?: string; source?: string } = {}) => {
    const [cautious, middle, hopeful] = days.map((drinkingLineOn) => ({ drinkingLineOn, daysToDrinkingLine: 9 }))
    const state = { state: { lateRainOn: RAIN, on: more.on ?? '2026-06-04' }, cannotSay: [] }
    const cover = { cover: { cautious, middle, hopeful }, plan: { source: more.source ?? 'own' } }
    const { key, values } = coverSentence({ ...state, ...cover } as never, { format: { date: String } } as never)
    return [key.replace('outlook.cover.', ''), values.first, values.mid, values.last]
  }
  const AFTER = '2026-07-29'

  it.each<[Days, string, (string | undefined)[]]>([
    [[null, null, null], 'holds', []],
    [[AFTER, AFTER, AFTER], 'holds', []],
    [[RAIN, AFTER, null], 'may-not-hold', [RAIN]],
    [['2026-06-20', RAIN, AFTER], 'hopeful-holds', ['2026-06-20', RAIN]],
    [['2026-06-20', '2026-07-01', RAIN], 'between', ['2026-06-20', '2026-07-01', RAIN]],
    [[RAIN, RAIN, RAIN], 'on-day', [RAIN, RAIN, RAIN]],
  ])('of %o, with the rain at the latest on 28 July, is “%s”', (days, key, dates) => {
    expect(said(days).filter((one) => one !== undefined)).toEqual([key, ...dates])
  })

  it('says that the day of rain is past from that very day on', () => {
    expect(said([null, null, null], { on: '2026-07-27' })[0]).toBe('holds')
    expect(said([null, null, null], { on: RAIN })[0]).toBe('rain-past')
    expect(said([null, null, null], { source: 'none' })[0]).toBe('no-plan')
  })
})

describe('the plan of a week', () => {
  it('is what is planned until the first week is over, and what was drawn from the day after on', async () => {
    const book = await abstractionsBook()
    await book.writing((pen) => addTurn(pen, book))
    const form = await book.ada.open('/log/water?use=irrigation')
    const [place, plotId] = [optionValue(form, 'place', 'Outlet 3'), optionValue(form, 'plotId', '7 Mango')]
    await book.ada.send(form, {
      place,
      plotId,
      opening: '100',
      closing: '103',
      startTime: '08:00',
      onDate: '2026-06-10',
    })
    const planOn = async (on: string) => (await coverStates(book.db, { on }))[0]!.plan
    const week = { weeks: ['2026-06-08'] }
    expect(await planOn('2026-06-14')).toEqual({ ...week, volumeM3: 4, source: 'planned', untyped: 0 })
    // The three that were drawn, and the turn of four of which nobody wrote a word.
    expect(await planOn('2026-06-15')).toEqual({ ...week, volumeM3: 7, source: 'drawn', untyped: 1 })
  })

  it('keeps a part of the leak to a tenth of a hundredth where it is settled anew', async () => {
    const { ada, weirPath } = await bookOf640()
    const at = weirPath.replace('weirs', 'settle/plan')
    await ada.fill(at, { ...PLAN, leakShare: '12.5' })
    expect((await ada.open(at)).html.querySelector('#leakShare')!.getAttribute('value')).toBe('12.5')
  })
})
