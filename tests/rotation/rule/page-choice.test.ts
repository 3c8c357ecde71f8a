import { describe, expect, it } from 'vitest'
import { answersOf } from '../../support/visitor.ts'
import { cells, type RulesBook, rulesBook, WEEK } from './book.ts'

const COMPARISON = `/turns/weeks/${WEEK}/compare`
const AREA = { equalWeight: '0', areaWeight: '100', shareWeight: '0' }

async function withRule(): Promise<RulesBook> {
  const book = await rulesBook()
  await book.ada.fill('/turns/rule/change', AREA)
  return book
}

describe('four rules side by side', () => {
  it('show each name by each rule with its difference, and totals that are what is available', async () => {
    const { ada } = await withRule()
    const page = await ada.open(COMPARISON)
    const rows = [1, 2, 3].map((number) => cells(page, `${number} `))
    const numbers = rows.map((row) => row.slice(1).map((cell) => Number(cell.split(' ')[0])))
    const needs = rows.map((row) => Number(row[0]))
    const bars = page.html.querySelectorAll('.bars tr').map((bar) => bar.text.replace(/\s+/g, ' ').trim())
    for (const rule of [0, 1, 2, 3]) {
      // Printed in tenths of a m3: the part of the need is known within what a tenth makes of it.
      const parts = numbers.map((row, at) => Math.min(1, row[rule]! / needs[at]!))
      const worst = Math.min(...parts)
      const [, plot, percent] = /plot (\d+);.* (\d+)%$/.exec(bars[rule]!)!.map(Number) as [number, number, number]
      expect(Math.abs(percent - 100 * worst)).toBeLessThan(2)
      expect(parts[plot - 1]! - worst).toBeLessThan(0.02)
      const sum = numbers.reduce((total, row) => total + row[rule]!, 0)
      const [toPlots, drunk, left, available] = [
        'All plots',
        'Drinking water',
        'Left in the sand',
        'Can be given out',
      ].map((head) => Number(cells(page, head)[rule + 1])) as [number, number, number, number]
      expect(Math.abs(sum - toPlots)).toBeLessThan(0.16)
      expect(Math.abs(toPlots + drunk + left - available)).toBeLessThan(0.16)
    }
    // Equal: plots 2 and 3 need less than a third of the water and are filled, plot 1 gets the rest.
    expect(numbers[1]![2]).toBe(needs[1])
    expect(numbers[2]![2]).toBe(needs[2])
    const gap = rows[0]![3]!.split(' ')[1]!.replace('−', '-')
    expect(Math.abs(Number(gap) - (numbers[0]![2]! - numbers[0]![0]!))).toBeLessThan(0.11)
  })
})

describe('the rule that the committee picks for one week', () => {
  it('shares that week, with the reason on its page and on the sheet, and stands once it is published', async () => {
    const { ada } = await withRule()
    const chosen = await ada.fill(COMPARISON, { rule: 'equal-small-first', reason: 'Seed beds must not dry out.' })
    expect(chosen.words).toContain('equal, small requests filled first')
    const column = [1, 2, 3].map((number) => cells(chosen, `${number} `)[3]!.split(' ')[0])
    const draft = await ada.open(`/turns/weeks/${WEEK}`)
    expect([1, 2, 3].map((number) => cells(draft, `${number} `)[1])).toEqual(column)
    expect(draft.words).toContain('Reason: Seed beds must not dry out.')
    const published = await ada.send(await ada.open(`/turns/weeks/${WEEK}/publish`), {}, `/turns/weeks/${WEEK}/publish`)
    expect(published.words).toContain('Published')
    expect((await ada.open(`/turns/weeks/${WEEK}/sheet`)).words).toContain('Reason: Seed beds must not dry out.')
    const later = await ada.open(COMPARISON)
    expect(later.html.querySelector(`form[action="${COMPARISON}"]`)).toBeNull()
    const refused = await ada.send({ ...chosen }, { rule: 'proportional', reason: 'too late' })
    expect(refused.status).toBe(409)
  })

  it('asks for a reason, and keeps what was chosen', async () => {
    const { ada, db } = await withRule()
    const page = await ada.fill(COMPARISON, { rule: 'proportional', reason: '' })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#reason-error')?.text).toContain('fill this in')
    expect(answersOf(page, 'rule').find(({ holds }) => holds)?.value).toBe('proportional')
    expect(await db.selectFrom('weekRule').selectAll().execute()).toEqual([])
  })

  it('is the committee’s alone: a member sees the comparison without the form', async () => {
    const { ada, visitor } = await withRule()
    const person = { number: '2', name: 'Bela', roles: ['member'], signInName: 'bela', password: 'another long word' }
    await ada.fill('/people/new', person)
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
    const page = await bela.open(COMPARISON)
    expect(page.status).toBe(200)
    expect(page.html.querySelector(`form[action="${COMPARISON}"]`)).toBeNull()
    expect((await bela.open('/turns/rule/change')).status).toBe(403)
    expect((await bela.open('/turns/settle/people-of-plot')).status).toBe(403)
    expect((await bela.open('/turns/settle/class')).status).toBe(403)
  })

  it('can be picked again; the last choice before publication counts', async () => {
    const { ada } = await withRule()
    await ada.fill(COMPARISON, { rule: 'proportional', reason: 'first thought' })
    const page = await ada.fill(COMPARISON, { rule: 'crop-stage-first', reason: 'second thought' })
    expect(page.words).toContain('second thought')
    expect(page.words).not.toContain('first thought')
  })
})
