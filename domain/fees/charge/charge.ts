import { ascending } from 'd3-array'
import { addDays, type CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { decimal, ONE, plus, quotientHalfUp, times, ZERO } from '../../money/decimal.ts'
import { minor, sumMinor } from '../../money/money.ts'
import { DRINKING, type Tariff, type TariffPart, tariffFault, tariffOn } from '../tariff/tariff.ts'
import { missedPartPrice, type SlipPrice, slipPrice } from './slip-price.ts'
import type { Charge, ChargedAbstraction, ChargeInput, ChargeLine, Payer } from './types.ts'

/**
 * What one payer owes for a period, both days included: only for what was delivered, by the tariff of the day of delivery.
 * Each line (one slip, one part of the tariff) is rounded half up to whole minor units on its own and the total is the sum
 * of the lines, so that a slip never changes because of another one. Rising blocks count the volume of the whole
 * period in order of date and list; a slip that comes in late stands behind those already charged. Monthly fees fall due on the first of a month, by the tariff of that day.
 * Source of the fee bases: FAO Water Reports 28 (2004), list of charging bases in the annex.
 */
export function charge(input: ChargeInput): Charge {
  checkTariffs(input.tariffs)
  const { slips, withoutTariffOn } = slipLines(input)
  const lines = [...fixedLines(input), ...slips]
  return { lines, totalMinor: sumMinor(lines.map((line) => line.amountMinor)), withoutTariffOn }
}

function checkTariffs(tariffs: readonly Tariff[]): void {
  for (const tariff of tariffs) {
    const fault = tariffFault(tariff)
    if (fault) throw new InputError(fault, { tariffId: tariff.id })
  }
}

function slipLines({ tariffs, abstractions, payer, period }: ChargeInput) {
  const slips: ChargeLine[] = []
  const withoutTariffOn = new Set<CalendarDate>()
  const before = { drinking: ZERO, other: ZERO } // blocks of drinking water count on their own
  for (const abstraction of inOrder(abstractions, period)) {
    const drinking = abstraction.use === DRINKING
    const counted = drinking ? 'drinking' : 'other'
    const payerClass = drinking ? DRINKING : payer.payerClass
    const tariff = tariffOn({ tariffs, on: abstraction.on, payerClass })
    if (!tariff && !drinking) withoutTariffOn.add(abstraction.on)
    for (const part of tariff?.parts ?? []) {
      const price =
        part.kind === 'no-show-part'
          ? missedPartPrice(tariff!.parts, part.part, abstraction)
          : slipPrice(part, abstraction, before[counted])
      if (price) slips.push(slipLine({ abstraction, tariff: tariff!, part, price }))
    }
    before[counted] = plus(before[counted], decimal(abstraction.volumeM3))
  }
  return { slips, withoutTariffOn: [...withoutTariffOn] }
}

function inOrder(abstractions: readonly ChargedAbstraction[], period: ChargeInput['period']) {
  const held = abstractions.filter(({ on }) => on >= period.from && on <= period.to)
  for (const { id, volumeM3 } of held) {
    if (!(volumeM3 >= 0)) throw new RangeError(`delivered volume of ${id} is not zero or more`)
  }
  const place = ({ chargedPlace = Number.MAX_VALUE }: ChargedAbstraction) => chargedPlace
  return held.toSorted((a, b) => place(a) - place(b) || ascending(a.on, b.on))
}

function slipLine({
  abstraction,
  tariff,
  part,
  price,
}: {
  price: SlipPrice
  abstraction: ChargedAbstraction
  tariff: Tariff
  part: TariffPart
}): ChargeLine {
  return {
    abstractionId: abstraction.id,
    on: abstraction.on,
    tariffId: tariff.id,
    kind: part.kind === 'no-show-part' ? 'no-show' : part.kind,
    quantity: price.quantity,
    unit: price.unit,
    amountMinor: minor(Number(quotientHalfUp(price.exact, price.over))),
    estimated: abstraction.grade === 'estimated',
  }
}

/** Monthly fees fall due on the first of a month inside the period, season fees on the season's first day. */
function fixedLines(input: ChargeInput): ChargeLine[] {
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
