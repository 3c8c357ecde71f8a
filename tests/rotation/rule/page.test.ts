import { describe, expect, it } from 'vitest'
import { carriedOver } from '../../../domain/rotation/rule/carry-over.ts'
import { addStage, declareStage } from '../../../server/water/drought/store.ts'
import { putName, secondName } from '../../water/support.ts'
import { cells, type RulesBook, rulesBook, TODAY, WEEK } from './book.ts'

/** What the draft gives each plot, in m3 to one decimal as it is printed. */
async function given(book: RulesBook): Promise<number[]> {
  const page = await book.ada.open(`/turns/weeks/${WEEK}`)
  return [1, 2, 3].map((number) => Number(cells(page, `${number} `)[1]))
}

async function needed(book: RulesBook): Promise<number[]> {
  const page = await book.ada.open(`/turns/weeks/${WEEK}`)
  return [1, 2, 3].map((number) => Number(cells(page, `${number} `)[0]))
}

/** What may be given to plots this week: released for the week, less drinking water of 20 people at 20 litres for 7 days. */
const DRINKING_M3 = 2.8
async function forPlots(book: RulesBook): Promise<number> {
  const comparison = await book.ada.open(`/turns/weeks/${WEEK}/compare`)
  expect(Number(cells(comparison, 'Drinking water')[1])).toBe(DRINKING_M3)
  return Number(cells(comparison, 'Can be given out')[1]) - DRINKING_M3
}

/** Printed to one decimal, from a total that was printed to one decimal. */
function expectParts(found: number[], totalM3: number, parts: number[]): void {
  for (const [at, part] of parts.entries()) expect(Math.abs(found[at]! - part * totalM3)).toBeLessThan(0.11)
}

const AREA = { equalWeight: '0', areaWeight: '100', shareWeight: '0' }

describe('the sharing rule as the group writes it', () => {
  it('is told in plain sentences with worked examples: 30 m3 by area make 20 and 10', async () => {
    const { ada } = await rulesBook()
    const page = await ada.fill('/turns/rule/change', AREA)
    expect(page.path).toBe('/turns/rule')
    expect(page.words).toContain('100% by area')
    expect(page.words).toContain('A’s part is 20 m³, B’s is 10 m³')
    expect(page.words).toContain('All crops are served together')
    expect(page.words).toContain('Drinking water of people and animals comes before everything')
  })

  it('tells of a turn called off what the rule then carries over', async () => {
    const { ada } = await rulesBook()
    for (const excusedCap of ['25', '100']) {
      const { words } = await ada.fill('/turns/rule/change', { ...AREA, excusedDays: '14', excusedCap })
      const told = /plot that needs (\d+) m³ missed a turn of (\d+) m³; ([\d.]+) m³ more/.exec(words)
      const [needM3, volumeM3, carriedM3] = told!.slice(1).map(Number)
      const missed = [{ on: '2026-06-03', volumeM3: volumeM3!, cause: 'excused' as const }]
      const terms = { excusedDays: 14, excusedCapPart: Number(excusedCap) / 100 }
      const { carryOverM3 } = carriedOver({ missed, terms, weekStartOn: '2026-06-08', needM3: needM3! })
      expect(carriedM3).toBe(carryOverM3)
    }
  })

  it('shares by area, 600, 300 and 100 m2', async () => {
    const book = await rulesBook()
    await book.ada.fill('/turns/rule/change', AREA)
    expectParts(await given(book), await forPlots(book), [0.6, 0.3, 0.1])
  })

  it('shares by people once they are written in, and says who is missing before', async () => {
    const book = await rulesBook()
    const { ada, plots } = book
    await ada.fill('/turns/settle/people-of-plot', { plotId: plots[1]!.id, persons: '5' })
    const warned = await ada.fill('/turns/rule/change', { ...AREA, areaWeight: '0', personsWeight: '1' })
    expect(warned.words).toContain('nobody has written in how many live from plots 2, 3')
    expect(warned.words).toContain('A’s part is 10 m³, B’s is 20 m³')
    await ada.fill('/turns/settle/people-of-plot', { plotId: plots[2]!.id, persons: '3' })
    const list = await ada.fill('/turns/settle/people-of-plot', { plotId: plots[3]!.id, persons: '1' })
    const lines = list.html.querySelectorAll('#people .list li')
    const line = lines.find((one) => one.querySelector('.at')!.text.trim() === '2')!
    expect(line.querySelector('.figure')!.text.trim()).toBe('3')
    expectParts(await given(book), await forPlots(book), [5 / 9, 3 / 9, 1 / 9])
  })

  it('says who is missing by the version in force and those to come, of all water or of one weir, and by no former one', async () => {
    const { ada, plots } = await rulesBook()
    const missing = async () =>
      /many live from plots? ([\d, ]+)\./.exec((await ada.open('/turns/rule')).words)?.[1] ?? null
    const weirs = { 'weir1-areaWeight': '1', 'weir1-personsWeight': '1' }
    const byWeirOnly = { ...AREA, ...weirs }
    const no = { 'weir1-areaWeight': '', 'weir1-personsWeight': '', personsWeight: '0' }
    const rules: [on: string, rule: Record<string, string>, told: string | null][] = [
      [TODAY, AREA, null],
      [TODAY, { ...AREA, ...no, personsWeight: '1' }, '1, 2, 3'],
      [TODAY, { ...AREA, ...no }, null],
      [TODAY, byWeirOnly, '1, 2, 3'],
      [TODAY, { ...AREA, ...no }, null],
      ['2026-06-29', { ...AREA, ...no, personsWeight: '1' }, '1, 2, 3'],
    ]
    for (const [fromOn, rule, told] of rules) {
      const { status, words } = await ada.fill('/turns/rule/change', { ...rule, fromOn })
      expect(status, words).toBe(200)
      expect([fromOn, rule, await missing()]).toEqual([fromOn, rule, told])
    }
    await ada.fill('/turns/settle/people-of-plot', { plotId: plots[2]!.id, persons: '4' })
    expect(await missing()).toBe('1, 3')
  })

  it('takes another mix for the water of one weir', async () => {
    const book = await rulesBook()
    const weir = { 'weir1-personsWeight': '0', 'weir1-areaWeight': '1', 'weir1-areaCap': '200' }
    const page = await book.ada.fill('/turns/rule/change', { equalWeight: '100', areaWeight: '0', ...weir })
    expect(page.words).toContain('Water of weir 1 Fig')
    expect(page.words).toContain('Area above 200 m² of a plot does not count')
    // 200, 200 and 100 m2 count: parts of 9.8, 9.8 and 4.9 m3. Plot 3 needs less than its part and plot 2 hardly more,
    // so both are filled; plot 1 gets the rest. By area of all water it would have had 60 per cent.
    const [totalM3, needs, found] = [await forPlots(book), await needed(book), await given(book)]
    expect(found.slice(1)).toEqual(needs.slice(1))
    expect(Math.abs(found[0]! - (totalM3 - needs[1]! - needs[2]!))).toBeLessThan(0.16)
    expect(found[0]!).toBeLessThan(0.5 * totalM3)
  })

  it('keeps the volume of a protected school when the others are cut, and says so', async () => {
    const book = await rulesBook()
    const page = await book.ada.fill('/turns/rule/change', { ...AREA, protectedAlways: '3' })
    expect(page.words).toContain('3 school: served in full right after drinking water, in every stage')
    const [needs, totalM3, found] = [await needed(book), await forPlots(book), await given(book)]
    expect(found[2]).toBe(needs[2])
    expect(totalM3).toBeLessThan(0.8 * (needs[0]! + needs[1]! + needs[2]!))
    expectParts(found.slice(0, 2), totalM3 - needs[2]!, [2 / 3, 1 / 3])
  })

  it('leaves one tenth of the releasable water unbooked', async () => {
    const book = await rulesBook()
    await book.ada.fill('/turns/rule/change', AREA)
    const wholeM3 = (await forPlots(book)) + DRINKING_M3
    const page = await book.ada.fill('/turns/rule/change', { ...AREA, spare: '10' })
    expect(page.words).toContain('of 30 m³, 3 m³ stay free and 27 m³ are planned')
    expect(Math.abs((await forPlots(book)) + DRINKING_M3 - 0.9 * wholeM3)).toBeLessThan(0.11)
    expectParts(await given(book), 0.9 * wholeM3 - DRINKING_M3, [0.6, 0.3, 0.1])
  })

  it('serves the first class whole before the next, by the class that the group gives a crop', async () => {
    const book = await rulesBook()
    const { ada, plots } = book
    const places = { nurseryPlace: '1', perennialsPlace: '2', foodPlace: '2', marketPlace: '3', latePlace: '4' }
    const page = await ada.fill('/turns/rule/change', { ...AREA, ...places })
    expect(page.words).toContain('nursery and seedlings, then perennials together with food crops, then market crops')
    const list = await ada.fill('/turns/settle/class', { planId: plots[2]!.planId, class: 'nursery' })
    expect(cells(list, '2 ', '#classes').slice(-2)).toEqual(['nursery and seedlings', 'the group set it'])
    const [needs, totalM3, found] = [await needed(book), await forPlots(book), await given(book)]
    expect(found[1]).toBe(needs[1])
    expectParts([found[0]!, found[2]!], totalM3 - needs[1]!, [6 / 7, 1 / 7])
  })

  it('serves a minimum before any class gets more than its own', async () => {
    const book = await rulesBook()
    const { ada, plots } = book
    const places = { foodPlace: '1', marketPlace: '2', marketMinimum: '30' }
    const page = await ada.fill('/turns/rule/change', { ...AREA, ...places })
    expect(page.words).toContain('market crops 30% of the need')
    await ada.fill('/turns/settle/class', { planId: plots[1]!.planId, class: 'market' })
    const [needs, totalM3, found] = [await needed(book), await forPlots(book), await given(book)]
    // Both food plots are served whole; market has its least, and all that is left.
    expect(found.slice(1)).toEqual(needs.slice(1))
    expect(Math.abs(found[0]! - Math.max(0.3 * needs[0]!, totalM3 - needs[1]! - needs[2]!))).toBeLessThan(0.16)
  })

  it('cuts a class to what the declared stage of drought leaves of its need, but not the protected school', async () => {
    const book = await rulesBook()
    const { ada, db, weirId } = book
    await ada.fill('/turns/rule/change', { ...AREA, protectedAlways: '3' })
    const writer = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
    await db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: writer.entryId, writtenAt: '2026-06-11T06:00:00.000Z' }
      const stageId = await addStage(pen, {
        severity: 2,
        name: 'dry',
        words: 'half of the food crops',
        weirId,
        belowLevelM: 99,
        belowCoverDays: null,
        endCondition: 'until the next flood',
        capByClass: { food: 0.5 },
      })
      await declareStage(pen, { stageId, fromOn: '2026-06-11', reason: 'read twice', wasProposed: true })
    })
    await putName(await secondName(book, ada), '/water/dry')
    const page = await ada.open(`/turns/weeks/${WEEK}`)
    expect(page.words).toContain('Drought stage 2 is declared: dry. food crops at most 50% of their need.')
    expect(page.words).toContain('all that the declared drought stage leaves of its need')
    const [needs, found] = [await needed(book), await given(book)]
    expect(found[2]).toBe(needs[2])
    for (const at of [0, 1]) expect(Math.abs(found[at]! - 0.5 * needs[at]!)).toBeLessThan(0.11)
  })

  it('counts crops sown after the declared day as late plantings', async () => {
    const { ada } = await rulesBook()
    await ada.fill('/turns/rule/change', { ...AREA, declaredOn: '2026-04-30' })
    const list = await ada.open('/turns/rule?open=classes')
    expect(cells(list, '1 ', '#classes').slice(-2)).toEqual(['late plantings', 'sown after the declared day'])
  })
})

describe('a version of the rule', () => {
  it('begins in the past only where it is the first', async () => {
    const { ada, db } = await rulesBook()
    const first = await ada.fill('/turns/rule/change', { ...AREA, fromOn: '2026-05-01' })
    expect(first.status).toBe(200)
    const again = await ada.fill('/turns/rule/change', { ...AREA, spare: '12', fromOn: '2026-06-10' })
    expect(again.status).toBe(422)
    expect(again.html.querySelector('#fromOn-error')?.text).toContain('cannot begin in the past')
    expect(again.html.querySelector('#spare')?.getAttribute('value')).toBe('12')
    expect(await db.selectFrom('sharingRule').selectAll().execute()).toHaveLength(1)
  })

  it.each([
    ['areaWeight', { ...AREA, areaWeight: '0' }, 'equalWeight', 'At least one weight must be above zero'],
    ['a plot that is not there', { protectedAlways: '3, 9' }, 'protectedAlways', 'no plot with the number 9'],
    ['a plot on both lists', { protectedAlways: '3', protectedUntil: '3', untilStage: '1' }, 'protectedUntil', 'twice'],
    ['a list without its stage', { protectedUntil: '3' }, 'untilStage', 'up to which stage'],
    ['a cap for a weir without weights', { 'weir1-areaCap': '50' }, 'weir1-equalWeight', 'must be above zero'],
    ['a place below one', { foodPlace: '0' }, 'foodPlace', 'from 1 to 9'],
  ])('is shown again for %s, with the reason beside the field', async (_, fields, field, words) => {
    const { ada, db } = await rulesBook()
    const page = await ada.fill('/turns/rule/change', fields)
    expect(page.status).toBe(422)
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(await db.selectFrom('sharingRule').selectAll().execute()).toEqual([])
  })

  it('leaves a published week as it was, and starts the next form from the last version', async () => {
    const book = await rulesBook()
    const { ada } = book
    await ada.fill('/turns/rule/change', { ...AREA, protectedAlways: '3', 'weir1-equalWeight': '7' })
    await ada.send(await ada.open(`/turns/weeks/${WEEK}/publish`), {}, `/turns/weeks/${WEEK}/publish`)
    const before = await given(book)
    const form = await ada.open('/turns/rule/change')
    expect(form.html.querySelector('#protectedAlways')?.getAttribute('value')).toBe('3')
    expect(form.html.querySelector('#weir1-equalWeight')?.getAttribute('value')).toBe('7')
    await ada.send(form, { protectedAlways: '', 'weir1-equalWeight': '', spare: '40' })
    expect(await given(book)).toEqual(before)
  })
})
