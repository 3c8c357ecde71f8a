import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sum } from '../../domain/sum.ts'
import { addPerson } from '../../server/people/person/store.ts'
import { addPlot, listPlots } from '../../server/people/plot/store.ts'
import { groupsInSheets, namedParts, rowsInSheets, sheetOf } from '../../server/web/figures/sheets.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

describe('a long list in sheets', () => {
  it('shows each line on exactly one sheet, in order', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(), { maxLength: 60 }), fc.integer({ min: 1, max: 9 }), (list, size) => {
        const { count } = sheetOf(list, { asked: undefined, size })
        const sheets = Array.from({ length: count }, (_, at) => sheetOf(list, { asked: String(at + 1), size }))
        expect(sheets.flatMap(({ shown }) => shown)).toEqual(list)
        expect(sheets.map(({ before, after }) => [before, after])).toEqual(
          sheets.map((_, at) => [at > 0 ? at : null, at + 1 < count ? at + 2 : null]),
        )
      }),
    )
  })

  it('gives the nearest sheet there is for whatever is asked, and the whole to be printed', () => {
    const list = [1, 2, 3, 4, 5]
    const numberOf = (asked: string | undefined) => sheetOf(list, { asked, size: 2 }).number
    expect([undefined, '', '0', '-3', 'x', '2.9', '99'].map(numberOf)).toEqual([1, 1, 1, 1, 1, 2, 3])
    expect(sheetOf(list, { asked: 'all', size: 2 })).toMatchObject({ shown: list, before: null, after: null, count: 1 })
    expect(sheetOf([], { asked: undefined, size: 2 })).toMatchObject({ shown: [], count: 1 })
  })
})

describe('the rows of a page in sheets of eighty', () => {
  const rows = Array.from({ length: 170 }, (_, at) => at)

  it('stand on one without doors where they are no more', () => {
    const few = rowsInSheets({ query: {} }, 'plots', rows.slice(0, 80))
    expect([few.shown, few.count, few.sheet.count, few.sheet.isAsked]).toEqual([rows.slice(0, 80), 80, 1, false])
    expect(rowsInSheets({ query: {} }, 'plots', rows.slice(0, 81)).sheet.count).toBe(2)
    expect(rowsInSheets({ query: {} }, 'plots', []).shown).toEqual([])
  })

  it('are those of the sheet that is asked for by the name of the list, and leave what else was asked', () => {
    const { shown, sheet } = rowsInSheets({ query: { plots: '2', list: '3', week: '2026-11-23' } }, 'plots', rows)
    expect([shown[0], shown.length, sheet.number, sheet.before, sheet.after]).toEqual([80, 80, 2, 1, 3])
    expect([sheet.of, sheet.isAsked]).toEqual(['list=3&week=2026-11-23&', true])
    expect(rowsInSheets({ query: { find: 'a&b=c' } }, 'plots', rows).sheet.of).toBe('find=a%26b%3Dc&')
    expect(rowsInSheets({ query: { plots: 'all' } }, 'plots', rows).shown).toEqual(rows)
  })

  it('begin with the sheet of the row that is wanted, unless another is asked for', () => {
    const wanted = (row: number) => row === 80 || row === 165
    expect(rowsInSheets({ query: {} }, 'turns', rows, wanted).sheet.number).toBe(2)
    expect(rowsInSheets({ query: {} }, 'turns', rows, (row) => row === 79).sheet.number).toBe(1)
    expect(rowsInSheets({ query: { turns: '1' } }, 'turns', rows, wanted).sheet.number).toBe(1)
    expect(rowsInSheets({ query: {} }, 'turns', rows, () => false).sheet.number).toBe(1)
  })
})

describe('what is printed of many pumps', () => {
  const pumps = [30, 50, 1, 90, 40].map((turns, at) => ({ number: at + 1, turns }))
  type Pump = (typeof pumps)[number]
  const told = { rowsOf: ({ turns }: Pump) => turns, nameOf: ({ number }: Pump) => `pump ${number}`, whole: 'all' }
  const numbersOf = (query: Record<string, string>, of = pumps) =>
    namedParts({ query }, of, told).shown.map(({ number }) => number)

  it('comes in parts of whole pumps, each called by its first and its last', () => {
    const { parts } = namedParts({ query: { part: '2' } }, pumps, told)
    expect(parts).toEqual([
      { href: '?part=1', words: 'pump 1 – pump 2', isShown: false },
      { href: '?part=2', words: 'pump 3', isShown: true },
      { href: '?part=3', words: 'pump 4', isShown: false },
      { href: '?part=4', words: 'pump 5', isShown: false },
      { href: '?part=all', words: 'all', isShown: false },
    ])
    expect(['1', '2', '3', '4', 'all', 'x', '9'].map((part) => numbersOf({ part }))).toEqual([
      [1, 2],
      [3],
      [4],
      [5],
      [1, 2, 3, 4, 5],
      [1, 2],
      [5],
    ])
    expect(namedParts({ query: { part: 'all' } }, pumps, told).parts.filter(({ isShown }) => isShown)).toEqual([
      { href: '?part=all', words: 'all', isShown: true },
    ])
  })

  it('comes at once, without doors, where it is not much', () => {
    expect(namedParts({ query: { part: '2' } }, pumps.slice(0, 2), told)).toEqual({
      shown: pumps.slice(0, 2),
      parts: [],
    })
    expect(namedParts({ query: {} }, [], told)).toEqual({ shown: [], parts: [] })
  })

  it('tears no group apart, loses none, and fills no sheet beyond eighty rows with more than one', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 100 })), (groups) => {
        const sheets = groupsInSheets(groups, (rows) => rows)
        expect(sheets.flat()).toEqual(groups)
        for (const own of sheets.filter(({ length }) => length > 1)) expect(sum(own)).toBeLessThanOrEqual(80)
      }),
    )
  })
})

const MORE = 100
const NEW = { phone: null, signInName: null, roles: ['member'], passwordHash: null }
const GROUND = { areaM2: 100, soil: 'sand', method: 'furrow', shares: 1, fromOn: VALLEY_TODAY }

it('a list of many people, and of many plots, comes in sheets of which each line stands on one', async () => {
  const { db, signIn } = await openValley()
  const [plot] = await listPlots(db, VALLEY_TODAY)
  const holderIds = plot!.holders.map(({ id }) => id)
  const pen = { writtenBy: holderIds[0]!, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
  await db.transaction().execute(async (trx) => {
    for (let at = 1; at <= MORE; at++) {
      await addPerson({ trx, ...pen }, { ...NEW, number: 500 + at, name: `Newcomer ${at}` }, VALLEY_TODAY)
      const more = { ...GROUND, number: 500 + at, name: `terrace ${at}`, outletIds: plot!.outletIds, holderIds }
      await addPlot({ trx, ...pen }, more)
    }
  })
  const elu = await signIn('elu')
  for (const [name, words] of [
    ['list', /Newcomer \d+/g],
    ['plots', /terrace \d+/g],
  ] as const) {
    const seen: string[] = []
    let at: string | undefined = '/people'
    for (let sheets = 0; at !== undefined && sheets < 5; sheets++) {
      const { html } = await elu.open(at)
      const found = html.querySelectorAll('.list li').flatMap((line) => line.text.match(words) ?? [])
      seen.push(...found)
      const isOpen = html.querySelectorAll('details[open]').some((fold) => words.test(fold.text))
      expect(isOpen).toBe(sheets > 0)
      words.lastIndex = 0
      const next = html.querySelector(`#${name} a[rel="next"]`)?.getAttribute('href')
      at = next && `/people${next.split('#')[0]}`
    }
    expect(seen.sort()).toEqual([...new Set(seen)].sort())
    expect(new Set(seen).size).toBe(MORE)
    const whole = await elu.open(`/people?${name}=all`)
    expect(new Set(whole.html.querySelector('main')!.text.match(words)).size).toBe(MORE)
  }
})
