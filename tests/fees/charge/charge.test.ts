import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { charge } from '../../../domain/fees/charge/charge.ts'
import { followUpCharges } from '../../../domain/fees/charge/follow-up.ts'
import type { ChargedAbstraction, ChargeInput } from '../../../domain/fees/charge/types.ts'
import { type Tariff, tariffOn } from '../../../domain/fees/tariff/tariff.ts'
import { InputError } from '../../../domain/input-error.ts'

const perM3 = (id: string, from: string, priceMinor: number, payerClass: string | null = null): Tariff => ({
  id,
  from,
  payerClass,
  parts: [{ kind: 'per-m3', blocks: [{ upToM3: null, priceMinor }] }],
})
const turn = (id: string, on: string, volumeM3: number, rest: Partial<ChargedAbstraction> = {}) => ({
  id,
  on,
  volumeM3,
  grade: 'measured' as const,
  ...rest,
})
const july = { from: '2031-07-01', to: '2031-07-31' }
const july_ = (rest: Partial<ChargeInput>): ChargeInput => ({
  tariffs: [],
  abstractions: [],
  payer: { payerClass: null },
  period: july,
  ...rest,
})
const amounts = (input: ChargeInput) => charge(input).lines.map((line) => [line.abstractionId, line.amountMinor])

describe('a charge', () => {
  it('keeps the old price for the slips of before a raise in mid-month', () => {
    const input = july_({
      tariffs: [perM3('t1', '2031-01-01', 100), perM3('t2', '2031-07-16', 150)],
      abstractions: [turn('late', '2031-07-16', 10), turn('early', '2031-07-15', 10)],
    })
    expect(amounts(input)).toEqual([
      ['early', 1000],
      ['late', 1500],
    ])
    expect(charge(input).totalMinor).toBe(2500)
  })

  it('is for what was delivered: half a turn costs half, a turn without water nothing', () => {
    const tariffs: Tariff[] = [
      { id: 't', from: '2031-01-01', payerClass: null, parts: [{ kind: 'per-turn', priceMinor: 301 }] },
    ]
    const abstractions = [
      turn('whole', '2031-07-01', 8, { plannedM3: 8 }),
      turn('half', '2031-07-02', 4, { plannedM3: 8 }),
      turn('more', '2031-07-03', 9, { plannedM3: 8 }),
      turn('none', '2031-07-04', 0, { plannedM3: 8 }),
      turn('no word', '2031-07-05', 0, { plannedM3: 8, noShow: true }),
    ]
    // Half of 301 is 150.5, rounded half up.
    expect(amounts(july_({ tariffs, abstractions }))).toEqual([
      ['whole', 301],
      ['half', 151],
      ['more', 301],
    ])
  })

  it('for a turn without word follows the rule of the tariff', () => {
    const tariffs: Tariff[] = [
      { id: 't', from: '2031-01-01', payerClass: null, parts: [{ kind: 'no-show', priceMinor: 50 }] },
    ]
    const abstractions = [turn('a', '2031-07-05', 0, { noShow: true }), turn('b', '2031-07-05', 0)]
    expect(amounts(july_({ tariffs, abstractions }))).toEqual([['a', 50]])
  })

  it('leaves drinking water free, unless the group set a price for it', () => {
    const general = perM3('t', '2031-01-01', 100)
    const abstractions = [turn('d', '2031-07-01', 3, { use: 'drinking' }), turn('i', '2031-07-01', 1)]
    expect(amounts(july_({ tariffs: [general], abstractions }))).toEqual([['i', 100]])
    const priced = [general, perM3('d', '2031-01-01', 10, 'drinking')]
    expect(amounts(july_({ tariffs: priced, abstractions }))).toEqual([
      ['d', 30],
      ['i', 100],
    ])
  })

  it('takes the tariff of the payer’s class, else the general one, and says when there was none', () => {
    const tariffs = [perM3('all', '2031-07-10', 100), perM3('school', '2031-07-01', 40, 'school')]
    const on = '2031-07-20'
    expect(tariffOn({ tariffs, on, payerClass: 'school' })?.id).toBe('school')
    expect(tariffOn({ tariffs, on, payerClass: 'tenant' })?.id).toBe('all')
    const early = charge(july_({ tariffs, abstractions: [turn('a', '2031-07-09', 5)] }))
    expect(early).toEqual({ lines: [], totalMinor: 0, withoutTariffOn: ['2031-07-09'] })
  })

  it('by blocks counts the whole period, slip after slip', () => {
    const blocks = [
      { upToM3: 10, priceMinor: 100 },
      { upToM3: null, priceMinor: 200 },
    ]
    const tariffs: Tariff[] = [{ id: 't', from: '2031-01-01', payerClass: null, parts: [{ kind: 'per-m3', blocks }] }]
    const abstractions = [turn('a', '2031-07-01', 8), turn('b', '2031-07-08', 8), turn('c', '2031-07-15', 1)]
    expect(amounts(july_({ tariffs, abstractions }))).toEqual([
      ['a', 800],
      ['b', 1400],
      ['c', 200],
    ])
  })

  it('by blocks counts drinking water and other water apart', () => {
    const blocks = [
      { upToM3: 10, priceMinor: 100 },
      { upToM3: null, priceMinor: 200 },
    ]
    const general: Tariff = { id: 't', from: '2031-01-01', payerClass: null, parts: [{ kind: 'per-m3', blocks }] }
    const abstractions = [
      turn('a', '2031-07-01', 8),
      turn('d', '2031-07-02', 8, { use: 'drinking' }),
      turn('b', '2031-07-03', 2),
      turn('e', '2031-07-04', 4, { use: 'drinking' }),
    ]
    expect(amounts(july_({ tariffs: [general], abstractions }))).toEqual([
      ['a', 800],
      ['b', 200],
    ])
    const tariffs = [general, { ...general, id: 'd', payerClass: 'drinking' }]
    expect(amounts(july_({ tariffs, abstractions }))).toEqual([
      ['a', 800],
      ['d', 800],
      ['b', 200],
      ['e', 600],
    ])
  })

  it('mixed has its fixed fees on the first of the month and of the season, and its slips', () => {
    const tariffs: Tariff[] = [
      {
        id: 't',
        from: '2031-01-01',
        payerClass: null,
        parts: [
          { kind: 'flat', priceMinor: 500, every: 'month' },
          { kind: 'per-share', priceMinor: 33, every: 'season' },
          { kind: 'per-m3', blocks: [{ upToM3: null, priceMinor: 100 }] },
        ],
      },
    ]
    const input = july_({
      tariffs,
      abstractions: [turn('a', '2031-07-20', 2, { grade: 'estimated' })],
      payer: { payerClass: null, shares: 1.5 },
      period: { from: '2031-06-15', to: '2031-08-01' },
      seasonStartsOn: '2031-06-20',
    })
    // 33 x 1.5 shares = 49.5, rounded half up.
    expect(charge(input).lines.map((line) => [line.on, line.kind, line.amountMinor, line.estimated])).toEqual([
      ['2031-07-01', 'flat', 500, false],
      ['2031-08-01', 'flat', 500, false],
      ['2031-06-20', 'per-share', 50, false],
      ['2031-07-20', 'per-m3', 200, true],
    ])
    expect(charge({ ...input, period: { from: '2031-07-02', to: '2031-07-31' } }).lines).toHaveLength(1)
  })

  it('refuses a tariff whose blocks do not rise to an open end', () => {
    for (const ends of [[], [10], [10, 10, null], [20, 10, null], [null, 10, null], [0, null]]) {
      const blocks = ends.map((upToM3) => ({ upToM3, priceMinor: 1 }))
      const tariffs: Tariff[] = [{ id: 't', from: '2031-01-01', payerClass: null, parts: [{ kind: 'per-m3', blocks }] }]
      expect(() => charge(july_({ tariffs }))).toThrow(InputError)
    }
  })

  it('of exact litres at a whole price needs no binary fractions, and its total is the sum of its lines', () => {
    const slip = fc.record({ litres: fc.integer({ min: 1, max: 99_999 }), day: fc.integer({ min: 1, max: 31 }) })
    const priceMinor = fc.integer({ min: 0, max: 10_000 })
    fc.assert(
      fc.property(fc.array(slip, { maxLength: 30 }), priceMinor, (slips, price) => {
        const abstractions = slips.map(({ litres, day }, at) =>
          turn(String(at), `2031-07-${String(day).padStart(2, '0')}`, litres / 1000),
        )
        const { lines, totalMinor } = charge(july_({ tariffs: [perM3('t', '2031-01-01', price)], abstractions }))
        expect(lines).toHaveLength(slips.length)
        for (const line of lines) {
          const exactThousandths = slips[Number(line.abstractionId)]!.litres * price
          expect(line.amountMinor).toBe(Math.floor((exactThousandths + 500) / 1000))
        }
        expect(totalMinor).toBe(lines.reduce((all, line) => all + line.amountMinor, 0))
      }),
    )
  })
})

describe('a correction of water', () => {
  const tariffs = [perM3('t', '2031-01-01', 100)]
  const posted = [
    { abstractionId: 'a', amountMinor: 800 },
    { abstractionId: 'b', amountMinor: 500 },
    { abstractionId: 'withdrawn', amountMinor: 300 },
  ]

  it('gives a line for the difference and leaves the posted slips alone', () => {
    const abstractions = [turn('a', '2031-07-01', 6), turn('b', '2031-07-01', 5), turn('c', '2031-07-01', 1)]
    const due = charge(july_({ tariffs, abstractions })).lines
    expect(followUpCharges({ due, posted })).toEqual([
      { abstractionId: 'a', differenceMinor: -200 },
      { abstractionId: 'c', differenceMinor: 100 },
      { abstractionId: 'withdrawn', differenceMinor: -300 },
    ])
  })

  it('asks for nothing more once its line is posted', () => {
    const due = charge(july_({ tariffs, abstractions: [turn('a', '2031-07-01', 6)] })).lines
    const once = followUpCharges({ due, posted }).map(({ abstractionId, differenceMinor }) => ({
      abstractionId,
      amountMinor: differenceMinor,
    }))
    expect(followUpCharges({ due, posted: [...posted, ...once] })).toEqual([])
  })
})
