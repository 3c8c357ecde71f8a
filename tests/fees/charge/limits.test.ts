import { expect, it } from 'vitest'
import { charge } from '../../../domain/fees/charge/charge.ts'
import type { ChargeInput } from '../../../domain/fees/charge/types.ts'

const priced = (from: string): ChargeInput['tariffs'][number] => ({
  id: from,
  from,
  payerClass: null,
  parts: [
    { kind: 'per-m3', blocks: [{ upToM3: null, priceMinor: 10 }] },
    { kind: 'flat', priceMinor: 7, every: 'season' },
    { kind: 'per-share', priceMinor: 30, every: 'season' },
  ],
})
const drawn = (on: string, volumeM3: number, use?: 'drinking') => ({
  ...{ id: on, on, volumeM3, grade: 'measured' as const },
  ...(use ? { use } : {}),
})
const july = (more: Partial<ChargeInput>) =>
  charge({
    tariffs: [priced('2031-01-01')],
    abstractions: [],
    payer: { payerClass: null },
    period: { from: '2031-07-01', to: '2031-07-31' },
    ...more,
  })

it('a period is charged from its first day to its last, and not a day before or after', () => {
  const days = ['2031-06-30', '2031-07-01', '2031-07-31', '2031-08-01']
  const { lines } = july({ abstractions: days.map((on) => drawn(on, 2)) })
  expect(lines.map(({ on, amountMinor }) => [on, amountMinor])).toEqual([
    ['2031-07-01', 20],
    ['2031-07-31', 20],
  ])
  const season = (seasonStartsOn: string) => july({ seasonStartsOn }).lines.map(({ kind }) => kind)
  expect(days.map(season)).toEqual([[], ['flat'], ['flat'], []])
})

it('a fee by shares is a line for who holds shares, and none of nothing for who holds none', () => {
  const of = (shares: number) =>
    july({ seasonStartsOn: '2031-07-05', payer: { payerClass: null, shares } }).lines.map(({ kind, amountMinor }) => [
      kind,
      amountMinor,
    ])
  expect(of(0)).toEqual([['flat', 7]])
  expect(of(2)).toEqual([
    ['flat', 7],
    ['per-share', 60],
  ])
})

it('the days without a tariff are those on which other water than for drinking was drawn before there was one', () => {
  const { withoutTariffOn } = july({
    tariffs: [priced('2031-07-10')],
    abstractions: [drawn('2031-07-08', 1, 'drinking'), drawn('2031-07-09', 1), drawn('2031-07-10', 1)],
  })
  expect(withoutTariffOn).toEqual(['2031-07-09'])
})
