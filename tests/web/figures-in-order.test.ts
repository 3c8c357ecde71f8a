import { describe, expect, it } from 'vitest'
import { needLines } from '../../server/crops/need/lines.ts'
import { makeFormat } from '../../server/web/figures/format.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { rowsInSheets } from '../../server/web/figures/sheets.ts'
import { shown } from './shown.ts'

// Views are handed an object in which no two figures are alike, so that one figure in another's place is seen.

const plot = { id: 'p', number: 7, name: 'Fig', holders: [{ name: 'Ada' }] }
const weir = { id: 'w', number: 3, name: 'Hem' }
const range = (low: number, likely: number, high: number) => ({ low, likely, high })
const rangeM3 = (lowM3: number, likelyM3: number, highM3: number) => ({ lowM3, likelyM3, highM3 })

describe('why a plot gets what it gets', () => {
  const share = {
    requestedM3: 14.4,
    carryOverM3: 1.9,
    entitledM3: 40.5,
    receivedM3: 20.6,
    allocatedM3: 17.7,
    needM3: 18.8,
    level: 0.95,
  }
  const turn = {
    on: '2026-06-11',
    startMinute: 425,
    endMinute: 560,
    outlet: { number: 16, tank: null },
    volumeM3: 9.3,
    bookId: null,
  }
  const page = (more: object = {}) =>
    shown('rotation/share/reason', {
      plot,
      share,
      claim: { needM3: range(11.1, 12.2, 13.3) },
      said: { need: '', asked: '' },
      held: { key: 'layout.back', values: {} },
      order: '',
      sumM3: 38.3,
      notAdmitted: null,
      short: '',
      turnId: null,
      turns: [turn],
      changes: [],
      unplaced: [],
      method: '',
      weekStartOn: '2026-06-08',
      ...more,
    }).words

  it('tells need, what was asked, due, received, sum and volume, each in its place', () => {
    expect(page()).toMatch(
      new RegExp(
        [
          'It needs about 12.2 m³ this week \\(11.1 to 13.3\\)',
          'Asked for: 14.4 m³',
          '1.9 m³ are added to what is due to it',
          'with this week, comes to 40.5 m³',
          '20.6 m³ had come to it this season when this week was planned',
          '20.6 m³ received so far and 17.7 m³ this week make 38.3 m³ of the 40.5 m³ due: 95%',
          'So it gets 17.7 m³, about 890 jerrycans of 20 litres, of the 18.8 m³ it needs',
          '11 June.*, 07:05 to 09:20 .*, at outlet 16: 9.3 m³, about 470 jerrycans',
        ].join('.*'),
      ),
    )
  })

  it('tells what came apart from what is only counted', () => {
    const counted = { forfeitedM3: 2.1, lapsedM3: 3.2, cameM3: 15.3, kind: 'both' }
    expect(page({ counted })).toMatch(
      /15\.3 m³ had come to it this season.*2\.1 m³ of turns missed without word and 3\.2 m³ of turns called off.*20\.6 m³ counted so far and 17\.7 m³ this week make 38\.3/,
    )
  })
})

describe('ranges', () => {
  it('of needs stand in jerrycans and in m³, of a plot and of all', () => {
    const need = { need: rangeM3(11.1, 12.2, 13.3), plans: [{ crop: { key: 'bean' }, result: { known: false } }] }
    const row = { plot: { ...plot, holders: [{ id: 'x', name: 'Ada' }] }, need, left: '5 days', overdue: [] }
    const locale = loadLocale('en')
    const words = { t: locale.t, format: makeFormat('en', 'UTC'), locale, may: () => false }
    const lines = needLines(words, { rows: [row], weekStartOn: '2026-06-08', own: new Set() } as never)
    expect(lines).toMatchObject([{ at: 7, figure: '560–670', under: 'jerrycans, 11–13 m³' }])
    const list = { find: '', found: null, open: lines, folded: [] }
    const page = {
      any: true,
      list,
      ripe: [],
      grown: [],
      said: [],
      reasons: [],
      toCome: 0,
      total: rangeM3(61.1, 70, 83.3),
    }
    expect(shown('crops/need/page', { ...page, weekStartOn: '2026-06-08', weekEndOn: '2026-06-14' }).words).toMatch(
      /7 ?Fig, Ada ?5 days.*560–670 jerrycans, 11–13 m³.*61–83 m³, 3,060–4,170 jerrycans/,
    )
  })

  it('of the water in the sand are told low, high, likely, and what is left for the hand apart', () => {
    const storage = {
      available: rangeM3(311, 422, 533),
      handDrawn: rangeM3(61, 70, 83),
      grade: 'probed',
      reasons: [],
    }
    const state = { weir, storage, survey: null, doubted: null, untyped: { count: 2, volumeM3: 44 } }
    expect(shown('water/sand/storage-words', { state }).words).toMatch(
      /at least 310 m³ can be drawn, most likely 420, at most 540 m³.*at least 61 m³ more are left.*at most 83 m³.*44 m³/,
    )
  })

  it('of a chamber are told likely, by the minute, low and high', () => {
    const limit = {
      sustained: { likelyM3PerH: 5.4, lowM3PerH: 4.3, highM3PerH: 6.7 },
      levelSinceTestCm: -23,
      missing: [],
      headM: 1,
    }
    const pump = { number: 2, name: 'Hem pump', usualFlowM3PerH: 7.1, steadyDrawdownM: 0.45, outrunsChamber: false }
    const over = { ...pump, outrunsChamber: true, sustainedM3PerH: 3.3, minutesToStop: 37 }
    const page = {
      state: { weir },
      chamber: null,
      test: { testedOn: '2026-06-02' },
      limit,
      pumps: [pump, over],
      tests: [],
      cautions: [],
    }
    expect(shown('water/chamber/page', page).words).toMatch(
      /about 5\.4 m³ an hour without end, 90 litres a minute; between 4\.3 and 6\.7.*2 Jun 2026.*23 cm lower.*takes 7\.1 m³ an hour and the chamber keeps up; its water settles 45 cm.*it takes 7\.1 m³ an hour, and only 3\.3 come in.*37/,
    )
  })
})

describe('how a draw was measured', () => {
  const told = (drawn: object, more: object = {}) =>
    shown('abstractions/draw/measured', { drawn, more: {}, rate: range(1.1, 1.3, 1.7), meanSeconds: 41.5, ...more })
      .words

  it.each([
    [
      'by a meter',
      told({ method: 'meter', openingM3: 100.5, closingM3: 104.7, volumeM3: 4.2 }),
      '104.7 − 100.5 = 4.2 m³',
    ],
    [
      'by a meter that began again',
      told({ method: 'meter', openingM3: 99_998.5, closingM3: 1.25, volumeM3: 2.75 }),
      'from 99,998.5 through its last number and began again, up to 1.25: 2.75 m³',
    ],
    [
      'by two meters',
      told(
        { method: 'meter', openingM3: 5300, closingM3: 1.5, volumeM3: 3.25 },
        { more: { tool: { oldLastM3: 5301, newFirstM3: 0.75 } } },
      ),
      'the old one went from 5,300 to 5,301, the new one from 0.75 to 1.5, together 3.25 m³',
    ],
    [
      'by hours',
      told({ method: 'hours', hours: 2.25, flowM3PerH: 3.4, volumeM3: 7.65 }),
      '(2.25 hours) at 3.4 m³ an hour make 7.65 m³',
    ],
    [
      'by readings that run back',
      told({ method: 'meter', grade: 'estimated', openingM3: 50, closingM3: 40, hours: 2.5, flowM3PerH: 3.3 }),
      'The readings 50 and 40 run back and do not give a volume. So 2 h 30 by the clock at 3.3 m³ an hour',
    ],
    [
      'by a bucket',
      told(
        { method: 'bucket', flowM3PerH: 1.74, hours: 3.5, volumeM3: 6.09 },
        { more: { seconds: [40, 43], tool: { containerLitres: 20 } } },
      ),
      'A bucket of 20 litres filled in 40, 43 seconds, 41.5 on average, 3 between longest and shortest: 1.74 m³ an hour. 3 h 30 of it make 6.09 m³. The rate may be anything from 1.1 to 1.7 m³',
    ],
    [
      'by a tank',
      told({ method: 'tank', volumeM3: 1.92 }, { more: { tool: { tankAreaM2: 4.8, tankRiseM: 0.4 } } }),
      '4.8 m² of tank rose by 40 cm: 1.92 m³',
    ],
  ])('%s', (_how, words, said) => {
    expect(words).toContain(said)
  })
})

describe('the weeks of cover', () => {
  it('stand as level, cautious, middle, hopeful and kept, each under its heading', () => {
    const week = {
      middle: { fromOn: '2026-06-15', levelM: 101.25, availableM3: 222, reserveM3: 55 },
      cautious: { availableM3: 111 },
      hopeful: { availableM3: 333 },
    }
    const line = (drinkingLineOn: string, daysToDrinkingLine: number) => ({ drinkingLineOn, daysToDrinkingLine })
    const state = { weir, extraWeeks: 4, lateRainOn: '2026-12-31', isLossKnown: true, storage: { reasons: [] } }
    const cover = { cautious: line('2026-07-01', 21), middle: line('2026-08-02', 53), hopeful: line('2026-09-03', 85) }
    const { words, cells } = shown('water/cover/page', {
      one: { state, cover, feeds: null, fedBy: [], plan: { source: 'week' } },
      sentence: { key: 'layout.back', values: {} },
      stop: { key: 'layout.back', values: {} },
      keepUntilOn: '2027-01-28',
      weeks: [week],
      others: [],
      lines: [],
      cautions: [],
    })
    expect(words).toMatch(/28 Jan 2027.*4 weeks.*1 Jul 2026.*21.*2 Aug 2026.*53.*3 Sept? 2026.*85/)
    expect(cells('tbody tr').slice(0, 5)).toEqual(['101.25', '111', '222', '333', '55'])
  })
})

describe('the register', () => {
  it('tells the ground, shares and earlier water of a plot, each by its own name', () => {
    const own = { ...plot, areaM2: 812, isAreaKnown: true, shares: 2.5, soil: 'loam', method: 'drip' }
    const before = { volumeM3: 37.5, untilOn: '2026-06-02' }
    const { words } = shown('people/plot', {
      plot: own,
      outlets: [{ id: 'o', number: 16, name: 'Bend' }],
      before,
      holders: [],
      splits: [],
    })
    expect(words).toMatch(/812.*loam.*2\.5.*16 Bend.*37\.5 m³.*2 Jun 2026/i)
  })

  it('tells of each pump its flow, hours and sun, and of each outlet its flow and the day of the test', () => {
    const outlets = [
      { id: 'o', number: 16, name: 'Bend', flowM3PerH: 2.25, testedOn: '2026-06-02' },
      { id: 'q', number: 17, name: 'Ridge', flowM3PerH: 5.75, testedOn: '2026-06-03' },
    ]
    const pump = { number: 1, name: 'Lower', usualFlowM3PerH: 3.5, firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250 }
    const { words, cells } = shown('people/people', {
      count: { persons: 0, plots: 0 },
      list: { find: '', found: null, open: [], folded: [] },
      plots: rowsInSheets({ query: {} }, 'plots', []),
      pumps: [{ ...pump, outlets }],
    })
    expect(words).toMatch(/3\.5 m³.*7.*17.*250/)
    expect(cells('tbody tr')).toEqual(['16', '2.25', '2 Jun 2026', '17', '5.75', '3 Jun 2026'])
  })
})
