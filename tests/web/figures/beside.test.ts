import { describe, expect, it } from 'vitest'
import { rowsInSheets } from '../../../server/web/figures/sheets.ts'
import { shown } from '../shown.ts'

// As in `figures-in-order`: no two figures are alike, so that one in another's place, or an end of a stretch in place of the other, is seen.

const nothing = { open: [], folded: [] }
const drawn = { id: 'd', method: 'volume', grade: 'measured', volumeM3: 3.3, onDate: '2026-06-05', placeKind: 'outlet' }

describe('beside its label', () => {
  it.each<[string, string, Record<string, unknown>, Record<string, string>]>([
    [
      'of a crop stand its coefficients, its roots and what it may use up',
      'crops/crop',
      {
        crop: {
          ...{ key: 'bean', stageDays: [11, 22, 33, 44], kcIni: 0.31, kcMid: 1.12, kcEnd: 0.53 },
          ...{ rootDepthMinM: 0.64, depletionFraction: 0.45, source: 'A table' },
        },
        lengths: [],
        versions: [],
      },
      {
        'Days of the stages': '11, 22, 33, 44',
        Coefficients: '0.31, 1.12, 0.53',
        'Roots, m': '0.64',
        'Part without stress': '0.45',
      },
    ],
    [
      'of a missed turn stand who heard it, until when, who wrote it and the appeal',
      'fees/missed-turn/page',
      {
        hearing: { heard: 'both were heard', appealUntil: '9 June', writer: 'Ada', appeal: 'I was ill' },
        step: 'may-appeal',
        names: [],
      },
      { Written: 'Ada', 'Can be appealed up to': '9 June', 'What is said against it': 'I was ill' },
    ],
    [
      'of a reading stand what was remarked and when it was written',
      'water/level',
      {
        weir: { id: 'w', number: 3, name: 'Hem' },
        reading: {
          ...{ id: 'r', readOn: '2026-06-04', readAt: '06:10', depthCm: 71.5, waterLevelM: 99.25, flowSeen: false },
          ...{ hoursSincePumping: null, readerName: 'Bo', remark: 'Goats at the stick', writtenByName: 'Ada' },
          writtenAt: '2026-06-05T07:20:00Z',
        },
        doubted: null,
        flags: [],
        stored: null,
      },
      { Remark: 'Goats at the stick', 'Read by': 'Bo' },
    ],
    [
      'of a drought stage stand the reason that was given and what ends it',
      'water/drought/page',
      {
        inForce: {
          ...{
            id: 'i',
            fromOn: '2026-06-04',
            declaredBy: 'Ada',
            reason: 'Two dry months',
            lift: null,
            liftAsked: null,
          },
          stage: { severity: 2, name: 'Scarce', words: 'No noon turns.', endCondition: 'A flood' },
        },
        ...{ proposed: null, waitingFor: null, waiting: [], liftAsked: null, stages: [], readings: [], past: [] },
        ...{ weirs: new Map(), cutOf: () => [], declarations: [], can: () => false },
      },
      { Reason: 'Two dry months', 'Ends when': 'A flood' },
    ],
    [
      'of a draw stand the hours of its turn, as they were planned',
      'abstractions/draw/entry',
      {
        drawn: {
          ...drawn,
          flowM3PerH: null,
          uncertaintyM3: 0.2,
          happenedAt: '2026-06-05T08:00:00Z',
          writtenAt: '2026-06-05T09:00:00Z',
          weirId: 'w',
          weirName: 'Hem',
          plotId: null,
        },
        more: { tool: null, seconds: [], events: [] },
        ...{ typed: null, correction: null, old: null, flags: [], tank: null },
        plan: { id: 't', onDate: '2026-06-05', startMinute: 425, endMinute: 560, volumeM3: 4.1 },
      },
      { Planned: 'Friday 5 June, 07:05–09:20, 4.1 m³' },
    ],
  ])('%s', (_, view, data, facts) => {
    expect(shown(view, data).facts).toMatchObject(facts)
  })
})

describe('under its head', () => {
  it.each<[string, string, Record<string, unknown>, string[]]>([
    [
      'stand what a house is due, received, of that as guessed, and its level',
      'rotation/fairness/houses',
      {
        houses: [
          {
            ...{ plotId: 'p', plot: { number: 7, holders: [{ name: 'Ada' }] }, difference: null },
            ...{ entitledM3: 40.5, receivedM3: 20.6, estimatedM3: 9.3, level: 0.51 },
          },
        ],
      },
      ['40.5', '20.6', '9.3', '51%', ''],
    ],
    [
      'stand what a plot of a week needs and gets, and its level',
      'rotation/week/shares',
      {
        shares: [
          {
            ...{ plotId: 'p', plot: { number: 7, holders: ['Ada'] }, held: { key: 'layout.back', values: {} } },
            ...{ needM3: 18.8, allocatedM3: 17.7, level: 0.95, isAsLastWeek: false },
          },
        ],
        notAdmitted: [],
        weekStartOn: '2026-06-08',
      },
      ['18.8', '17.7', '95%', 'Back'],
    ],
    [
      'stand the closing balance of a paper and how many lines it has',
      'fees/money-statement/list',
      {
        statements: [{ id: 's', date: '9 June', column: 'bank', amount: 'XOF 1,230', lines: 14 }],
        opened: '',
      },
      ['bank', 'XOF 1,230', '14'],
    ],
    [
      'stand plot, ground, sowing and end of what grows',
      'crops/need/grown',
      {
        ripe: [],
        grown: rowsInSheets({ query: {} }, 'crops', [
          {
            ...{ plot: { number: 7, name: 'Fig' }, crop: { key: 'bean' }, untilOn: '2026-09-23', overdue: false },
            ...{ plan: { id: 'c', areaM2: 310, sownOn: '2026-06-11', makesWayOn: null }, crowding: null },
          },
        ]),
        cropName: () => 'Bean',
      },
      ['7 Fig', '310', '11 Jun 2026', '23 Sept 2026'],
    ],
    [
      'stand how far the water fell in a stretch without rain and what was drawn in it',
      'water/calibration/page',
      {
        ...{
          weir: { id: 'w', number: 3, name: 'Hem' },
          waiting: [],
          refused: [],
          survey: { surveyedOn: '2026-05-01' },
        },
        book: {
          doubtedOn: [],
          unsettledOn: [],
          stretches: [
            {
              ...{ fromOn: '2026-06-02', toOn: '2026-06-08', openingLevelM: 99.5, closingLevelM: 99.37 },
              ...{ drawnM3: 23, drinkingLineOn: '2026-07-30', kind: 'dry', rainNotWritten: false },
            },
          ],
        },
      },
      ['13', '23', 'yes, dry'],
    ],
  ])('%s', (_, view, data, cells) => {
    expect(shown(view, data).cells('tbody tr')).toEqual(cells)
  })
})

describe('in its sentence', () => {
  it.each<[string, string, Record<string, unknown>, string | RegExp]>([
    [
      'stands how a count of own vessels was typed',
      'abstractions/draw/measured',
      { drawn, more: { tool: null, seconds: [] }, typed: '13 tins of 25 litres', meanSeconds: 8.4 },
      /^13 tins of 25 litres$/,
    ],
    [
      'stands since when a device is signed in and when it was last seen',
      'people/session/sign-ins',
      {
        ...{ token: () => '', own: nothing, all: null, person: { id: 'a' } },
        sessions: [
          {
            ...{ id: 's', isShared: false, isThis: true, address: '10.0.0.7' },
            ...{ startedAt: '2026-06-04T05:10:00Z', seenAt: '2026-06-09T16:40:00Z' },
          },
        ],
      },
      /since .*4 Jun.*05:10, last page .*9 Jun.*16:40, from 10\.0\.0\.7/,
    ],
    [
      'stand the first and the last minute of a turn that was moved up',
      'rotation/day/said',
      {
        asked: {},
        line: {
          ...{ turn: { plot: { holders: ['Ada'] }, droppedBy: null }, state: 'moved', said: {} },
          movedInto: { byName: 'Bo', at: '2026-06-04T05:10:00Z' },
          movedTo: { startMinute: 425, endMinute: 560 },
        },
      },
      /07:05.*09:20/,
    ],
    [
      'stands when an outlet was tested, and what it gives',
      'works/pump',
      {
        ...{ read: null, service: null, weir: null, beside: null, can: () => false },
        line: {
          ...{ mount: 'fixed', fromOn: null, counts: [{ days: 1 }, { days: 2 }, { days: 3 }] },
          pump: {
            id: 'u',
            number: 2,
            name: 'Heron',
            usualFlowM3PerH: 6.6,
            firstHour: 8,
            lastHour: 16,
            sunThresholdWPerM2: 300,
          },
        },
        outlets: [{ id: 'o', number: 16, name: 'line 1', testedOn: '2026-05-07', flowM3PerH: 4.4 }],
      },
      /16 line 1.*7 May 2026.*4\.4/,
    ],
    [
      'stand when a crop of the question would be sown and which ground it could have',
      'crops/planting/what-if',
      {
        ...{ ceiling: null, choices: [], asked: { cropKey: 'bean', sownOn: '2026-06-11', method: 'drip' } },
        ...{ group: { seasonEndOn: '2026-12-30' }, cropName: () => 'Bean', plainArea: (m2: number) => m2 },
        what: {
          ...{ crop: { key: 'bean' }, sownOn: '2026-06-11', untilOn: '2026-09-23' },
          beside: { firstTrancheM2: 310, secondTrancheM2: 120 },
          alone: { firstTrancheM2: 410, secondTrancheM2: 220 },
          need: { grossM3PerM2: { low: 0.41, likely: 0.52, high: 0.63 }, useMm: 434, bedMm: 15 },
        },
      },
      /310 m² of Bean sown on 11 Jun 2026 .* 120 m² more.*23 Sept 2026/,
    ],
    [
      'stand the week before and the week after, each behind its own door',
      'abstractions/balance/pump-balance',
      { before: '2026-06-01', after: '2026-06-15', spans: [], tanks: [] },
      /← 1 Jun 2026.*15 Jun 2026 →/,
    ],
    [
      'stand how much rain counts and since when',
      'crops/settings',
      {
        settings: { rainRule: { thresholdMm: 4, fraction: 0.65, fromOn: '2026-06-11', missingRain: 'cannot-say' } },
        ...{ months: [], usual: {}, usualMostTurns: 2, demand: [], mulches: [], states: [] },
      },
      /About 4 mm.* 65%.*, since 11 Jun 2026/,
    ],
  ])('%s', (_, view, data, words) => {
    expect(shown(view, data).words).toMatch(words)
  })
})

describe('a picture of weeks to come', () => {
  it('draws each line from left to right, and writes what it stands for left of it', () => {
    const plot = { left: 60, right: 590, bottom: 210 }
    const chart = { width: 600, height: 240, plot, steps: [{ y: 110, m3: 500 }], months: [], band: '', lines: [] }
    const table = { columns: [], rows: [] }
    const { html } = shown('water/outlook/chart', { weir: { number: 3 }, kind: 'bands', chart, table })
    const [from, , to] = html.querySelector('path.grid')!.getAttribute('d')!.match(/\d+/g)!.map(Number)
    expect([from, to]).toEqual([60, 590])
    expect(html.querySelector('path.axis')!.getAttribute('d')).toBe('M60 210H590')
    const label = html.querySelector('text[text-anchor="end"]')!
    expect(label.text.trim()).toBe('500')
    expect(Number(label.getAttribute('x'))).toBeLessThan(60)
  })
})
