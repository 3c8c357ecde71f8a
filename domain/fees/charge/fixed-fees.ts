import { addDays, type CalendarDate } from '../../calendar.ts'
import { decimal, ONE, quotientHalfUp, times } from '../../money/decimal.ts'
import { minor } from '../../money/money.ts'
import { type Tariff, type TariffPart, tariffOn } from '../tariff/tariff.ts'
import type { ChargeInput, ChargeLine, Payer } from './types.ts'

/** Monthly fees fall due on the first of a month inside the period, season fees on the season's first day. */
export function fixedLines(input: ChargeInput): ChargeLine[] {
  const { tariffs, payer, period, seasonStartsOn } = input
  const dueDays = [
    ...firstsOfMonths(period).map((on) => ({ on, every: 'month' as const })),
    ...(seasonStartsOn !== undefined && seasonStartsOn >= period.from && seasonStartsOn <= period.to
      ? [{ on: seasonStartsOn, every: 'season' as const }]
      : []),
  ]
  return dueDays.flatMap(({ on, every }) => {
    const tariff = tariffOn({ tariffs, on, payerClass: payer.payerClass })
    return (tariff?.parts ?? []).flatMap((part) => fixedLine({ part, tariff: tariff!, on, every, payer }))
  })
}

function fixedLine({
  part,
  tariff,
  on,
  every,
  payer,
}: {
  part: TariffPart
  tariff: Tariff
  on: CalendarDate
  every: 'month' | 'season'
  payer: Payer
}): ChargeLine[] {
  if (!('every' in part) || part.every !== every) return []
  const basis = {
    flat: { quantity: 1, unit: every },
    'per-share': { quantity: payer.shares ?? 0, unit: 'share' as const },
    'per-hectare': { quantity: (payer.areaM2 ?? 0) / 10_000, unit: 'ha' as const },
  }[part.kind]
  const amountMinor = minor(Number(quotientHalfUp(times(decimal(part.priceMinor), decimal(basis.quantity)), ONE)))
  if (amountMinor === 0) return []
  return [{ abstractionId: null, on, tariffId: tariff.id, kind: part.kind, ...basis, amountMinor, estimated: false }]
}

function firstsOfMonths({ from, to }: ChargeInput['period']): CalendarDate[] {
  const firsts: CalendarDate[] = []
  let first = from.endsWith('-01') ? from : nextFirst(from)
  for (; first <= to; first = nextFirst(first)) firsts.push(first)
  return firsts
}

function nextFirst(date: CalendarDate): CalendarDate {
  return `${addDays(`${date.slice(0, 7)}-01`, 31).slice(0, 7)}-01`
}
