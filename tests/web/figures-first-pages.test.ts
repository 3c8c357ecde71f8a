import { describe, expect, it } from 'vitest'
import { shown } from './shown.ts'

// First pages of water, log and turns are handed an object in which no two figures are alike, so that one in another's place is seen.

const range = (lowM3: number, likelyM3: number, highM3: number) => ({ lowM3, likelyM3, highM3 })

describe('the first page of water', () => {
  const state = {
    weir: { id: 'w', number: 3, name: 'Hem' },
    storage: {
      cannotSay: null,
      available: range(110, 120, 130),
      handDrawn: range(21, 22, 23),
      grade: 'guessed',
      reasons: [],
    },
    reading: { id: 'r', readOn: '2026-06-01', readAt: '06:15' },
    ageDays: 9,
    reserve: { reserveM3: 47, days: 30 },
    keepUntilOn: '2026-07-10',
    isLossKnown: true,
    missingForReserve: [],
    isBelowReserve: false,
    doubted: { id: 'd', reading: { readOn: '2026-06-08' } },
    untyped: { count: 5, volumeM3: 14 },
    restDue: { lastOn: '2026-04-04' },
  }
  const watch = {
    covers: new Map([['w', { key: 'outlook.cover.line-on', values: { date: '19 Jul 2026', days: 39 } }]]),
    danger: [{ id: 'i', part: 'wall', weirNumber: 2, seenOn: '2026-06-05' }],
    drought: {
      inForce: { stage: { severity: 1, name: 'Amber' }, fromOn: '2026-05-25' },
      proposed: { severity: 4, name: 'Red' },
    },
    overdue: [
      { part: 'wall', weirNumber: 6, nextOn: '2026-05-15' },
      { part: 'wall', weirNumber: 7, nextOn: '2026-05-16' },
    ],
    restToday: null,
  }
  const drawn = {
    weir: state.weir,
    survey: { crestHeightM: 2.4, offTakeAboveBedM: 0.5, crestLevelM: 101.5 },
    waterLevelM: 100.8,
    reading: { readOn: '2026-06-02' },
  }

  it('tells of each weir what can be drawn, what is left by hand, the reading, its age, the reserve and how long it lasts', () => {
    const { words } = shown('water/overview/water', {
      states: [state],
      picture: null,
      watch,
      chambers: new Set(),
      cautions: [],
    })
    const order = [
      'Weir 3, Hem ?at least 110 m³ at least 110 m³ can be drawn, most likely 120, at most 130 m³',
      'at least 21 m³ more are left for drawing by hand, at most 23 m³',
      'The reading of 8 Jun 2026 waits',
      '5 agreed turns since.*between nothing and 14 m³',
      '1 Jun 2026 at 06:15.*read 9 days ago',
      'keep 47 m³ until 10 Jul 2026: people and animals drink of it',
      '19 Jul 2026, in 39 days',
      'Weir 3, Hem: the last rest.*ended on 4 Apr 2026',
    ]
    expect(words).toMatch(new RegExp(order.join('.*')))
  })

  it('tells of danger, stages of drought and inspections each with its own weir, number and day', () => {
    const { words } = shown('water/overview/water', {
      states: [state],
      picture: null,
      watch,
      chambers: new Set(),
      cautions: [],
    })
    expect(words).toMatch(/2.*5 Jun 2026.*1.*Amber.*25 May 2026.*4.*Red.*2.*6.*15 May 2026/)
    expect(words).not.toContain('16 May 2026')
  })

  it('tells beside the picture how deep the sand, the off-take and the water lie', () => {
    const { cells } = shown('water/sand/long-section-table', { drawn: [drawn] })
    expect(cells('tbody tr')).toEqual(['240', '190', '70', '2 Jun 2026'])
  })
})

describe('the page of a day', () => {
  const turn = {
    bookId: 't',
    plotId: 'p',
    on: '2026-06-09',
    startMinute: 425,
    endMinute: 560,
    plot: { number: 7, holders: ['Ada'] },
    outlet: { number: 16, tank: { number: 4 }, flowM3PerH: 5 },
    pump: { number: 2 },
    volumeM3: 9.3,
  }
  const draws = [{ id: 'a', volumeM3: 8.125 }]
  const line = { turn, state: 'done', said: {}, draws, drawnM3: 8.125, besideIt: [], causes: [] }
  const beside = { ownPlotIds: [], odd: new Map(), asked: {}, asCounted: () => '' }

  it('tells of each turn its hours, plot, outlet, pump and tank, what was agreed and what was drawn', () => {
    const { words } = shown('rotation/day/line', { line, ...beside })
    expect(words).toMatch(
      /07:05 ?09:20.*7, Ada.*outlet 16, pump 2.*tank 4.*8\.1 m³ ?410 jerrycans.*agreed 9\.3 m³.*8\.125/,
    )
    const open = shown('rotation/day/line', { line: { ...line, state: 'open', draws: [], drawnM3: 0 }, ...beside })
    expect(open.words).toMatch(/9\.3 m³ ?470 jerrycans/)
    expect(open.words).not.toContain('agreed 9.3')
  })

  it('tells of each other line its place and volume, and the sum of the day', () => {
    const others = [
      { words: 'Drinking stand', small: 'Outlet 17, pump 5', figure: '1.25 m³', href: '/log/lines/drawn/b' },
      { words: 'Stock trough', small: 'Pump 6', figure: '2.375 m³', href: '/log/lines/drawn/c' },
    ]
    const { words } = shown('rotation/day/others', { day: { on: '2026-06-09', writtenM3: 11.75 }, others })
    expect(words).toMatch(/stand ?Outlet 17, pump 5 ?1\.25 m³.*trough ?Pump 6 ?2\.375 m³.*11\.75 m³/)
  })
})

describe('the card of the next turn', () => {
  it('tells plot, day, hours, where the meter stands at the end, the outlet, the own vessels and the water', () => {
    const card = {
      ...{ id: 't', plotId: 'p', plot: 7, on: '2026-06-12', from: '06:10', to: '08:45', stopAt: '1,234.5' },
      ...{ outlet: 16, jerrycans: 470, own: '94 drums', volume: '9.4', hours: '2 h 35', isRunning: false },
    }
    const { words } = shown('home/card', { card, isFirst: false })
    expect(words).toMatch(
      /plot7 Your turn, Friday 12 June 06:10–08:45 Stop at 1,234\.5 Outlet 16: 470 jerrycans 94 drums 9\.4 m³ in 2 h 35/,
    )
  })
})
