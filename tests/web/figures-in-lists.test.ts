import { describe, expect, it } from 'vitest'
import { rowsInSheets } from '../../server/web/figures/sheets.ts'
import { shown } from './shown.ts'

// Lists of the rooms are handed rows in which no two figures are alike, so that one in another's place is seen.

const plot = { number: 7 }

const bar = (name: string, figure: string) => ({ name, figure, full: 50, outline: 0, under: '' })

describe('lists of money', () => {
  it('tell of each member what is to pay and what is ahead, and of all together', () => {
    const all = {
      heldBars: [bar('cash', 'KES 11'), bar('wallet', 'KES 12')],
      waiting: { count: 13, total: 'KES 14' },
      needsTariff: false,
      unpriced: 15,
      nobody: 16,
      members: 17,
      list: {
        find: '',
        found: null,
        open: [{ at: 18, words: 'Ada', figure: 'KES 19', under: 'to pay', href: '/' }],
        folded: [{ at: 24, words: 'Bela', figure: 'KES 25', under: 'paid ahead', href: '/' }],
      },
      sums: { toPay: 'KES 20', ahead: 'KES 21' },
      ages: [bar('up to 30', 'KES 22'), bar('longer', 'KES 23')],
    }
    const { words, cells } = shown('fees/money', { own: null, asked: [], all })
    expect(words).toMatch(/KES 11.*KES 12.*13.*KES 14.*15.*16/)
    expect(words).toMatch(/17 accounts.*To pay together KES 20, paid ahead KES 21/)
    expect(words).toMatch(/18\s+Ada\s+KES 19\s+to pay.*24\s+Bela\s+KES 25\s+paid ahead/)
    expect(cells('tbody tr').filter(Boolean)).toEqual(['KES 11', 'KES 12', 'KES 22', 'KES 23'])
  })

  it('tell what is owed, by its age, since when, under appeal and as promised', () => {
    const row = {
      ...{ personId: 'p', number: 4, name: 'Ada', owed: 'KES 10', bands: ['KES 1', 'KES 2', 'KES 3', 'KES 4'] },
      ...{ since: '1 Jun 2026', appealed: 'KES 5 of it', promise: 'KES 6 a month' },
    }
    const line = {
      at: 4,
      words: 'Ada',
      small: 'since 1 Jun 2026',
      strong: 'KES 5 of it KES 6 a month',
      figure: 'KES 10',
    }
    const list = { find: '', found: null, open: [line], folded: [] }
    const minute = { number: 'minute 8', href: null }
    const relief = { id: 'r', name: 'Bela', amount: 'KES 7', minute, state: 'granted' }
    const { words, cells } = shown('fees/arrears/page', {
      rows: rowsInSheets({ query: {} }, 'ages', [row]),
      list,
      total: 'KES 9',
      reliefs: [relief],
    })
    expect(cells('tbody tr').slice(0, 5)).toEqual(['KES 10', 'KES 1', 'KES 2', 'KES 3', 'KES 4'])
    expect(words).toMatch(/4 ?Ada ?since 1 Jun 2026 ?KES 5 of it KES 6 a month ?KES 10.*KES 9/)
    expect(words).toMatch(/Bela.*(minute 8.*KES 7|KES 7.*minute 8)/)
  })
})

describe('lists of works', () => {
  it('tell of each flow test its day, flow and how far it fell or rose', () => {
    const fell = {
      testedOn: '2026-06-02',
      flowM3PerH: 2.25,
      changeFraction: -0.31,
      fellByAFifth: true,
      seconds: [40, 43],
    }
    const rose = { testedOn: '2026-05-03', flowM3PerH: 3.75, changeFraction: 0.12, fellByAFifth: false, seconds: [] }
    const outlet = { id: 'o', number: 16, name: 'Bend', isDue: false, dueOn: '2026-09-04', lines: [fell, rose] }
    const { cells } = shown('works/flow-tests', { outlets: [outlet] })
    const [day, flow, said, earlier, before, change] = cells('tbody tr')
    expect([day, flow, earlier, before]).toEqual(['2 Jun 2026', '2.25', '3 May 2026', '3.75'])
    expect(said).toMatch(/31%.*40\.0?, 43\.0?.*3.*4 Sept? 2026|31%.*40, 43.*3.*4 Sept? 2026/)
    expect(change).toContain('12%')
  })

  it('tell of a tank’s day its levels, what was filled in and the animals', () => {
    const line = { onDate: '2026-06-02', tankNumber: 3, tankName: 'Ridge', morningM: 1.21, eveningM: 0.84 }
    const more = { filledM3: 4.5, animals: 17, remark: 'goats', counted: ['as 9 drums'] }
    const { cells } = shown('works/tank-days', { tanks: [{}], lines: [{ ...line, ...more }], days: 60 })
    expect(cells('tbody tr')).toEqual(['3 Ridge', '121 cm', '84 cm', '4.5', '17', 'goats as 9 drums'])
  })
})

describe('the missed turns of a season', () => {
  it('stand as what may be made good, what was missed without word and what lapsed', () => {
    const running = { plot, leftM3: 2.1, on: '2026-06-02', expiresOn: '2026-06-16' }
    const { words } = shown('rotation/outcome/missed', {
      running: [running],
      forfeited: [{ plot: { number: 8 }, volumeM3: 3.2 }],
      lapsed: [{ plot: { number: 9 }, volumeM3: 4.3 }],
    })
    expect(words).toMatch(
      /Plot 7: 2\.1 m³ of Tuesday 2 June, until Tuesday 16 June.*without word.*8.*3\.2.*Not made good.*9.*4\.3/,
    )
  })
})
