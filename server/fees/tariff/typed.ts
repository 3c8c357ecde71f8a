import type { CalendarDate } from '../../../domain/calendar.ts'
import type { M3 } from '../../../domain/units.ts'
import type { NewTariff } from './store.ts'

interface Typed {
  fromOn: CalendarDate
  perM3: number
  firstUpToM3: M3 | null
  secondPerM3: number | null
  secondUpToM3: M3 | null
  thirdPerM3: number | null
  perPumpHour: number | null
  perTurn: number | null
  perNoShow: number | null
  perShare: number | null
  perShareEvery: 'month' | 'season' | null
  flat: number | null
  flatEvery: 'month' | 'season' | null
  tenantPerM3: number | null
  schoolPerM3: number | null
  drinkingFree: boolean
}

/** The tariff that was typed, or the field that does not fit the others. */
export function tariffTyped(typed: Typed): NewTariff | { wrong: string; key: string } {
  const { firstUpToM3, secondPerM3, secondUpToM3, thirdPerM3 } = typed
  if ((firstUpToM3 === null) !== (secondPerM3 === null)) {
    return { wrong: firstUpToM3 === null ? 'firstUpToM3' : 'secondPerM3', key: 'money.tariff.block-half' }
  }
  if ((secondUpToM3 === null) !== (thirdPerM3 === null)) {
    return { wrong: secondUpToM3 === null ? 'secondUpToM3' : 'thirdPerM3', key: 'money.tariff.block-half' }
  }
  if (secondUpToM3 !== null && !(firstUpToM3 !== null && secondUpToM3 > firstUpToM3)) {
    return { wrong: 'secondUpToM3', key: 'money.tariff.block-order' }
  }
  if (typed.perShare !== null && !typed.perShareEvery) return { wrong: 'perShareEvery', key: 'error.choose' }
  if (typed.flat !== null && !typed.flatEvery) return { wrong: 'flatEvery', key: 'error.choose' }
  return {
    fromOn: typed.fromOn,
    perM3Minor: typed.perM3,
    drinkingFree: typed.drinkingFree,
    blocks: [
      { upToM3: firstUpToM3, priceMinor: typed.perM3 },
      ...(secondPerM3 === null ? [] : [{ upToM3: secondUpToM3, priceMinor: secondPerM3 }]),
      ...(thirdPerM3 === null ? [] : [{ upToM3: null, priceMinor: thirdPerM3 }]),
    ],
    parts: partsOf(typed),
    classPrices: {
      ...(typed.tenantPerM3 !== null && { tenant: typed.tenantPerM3 }),
      ...(typed.schoolPerM3 !== null && { school: typed.schoolPerM3 }),
    },
  }
}

function partsOf({
  perPumpHour,
  perTurn,
  perNoShow,
  perShare,
  perShareEvery,
  flat,
  flatEvery,
}: Typed): NewTariff['parts'] {
  return [
    ...(perPumpHour === null ? [] : [{ kind: 'per-pump-hour' as const, priceMinor: perPumpHour }]),
    ...(perTurn === null ? [] : [{ kind: 'per-turn' as const, priceMinor: perTurn }]),
    ...(perNoShow === null ? [] : [{ kind: 'no-show' as const, priceMinor: perNoShow }]),
    ...(perShare === null ? [] : [{ kind: 'per-share' as const, priceMinor: perShare, every: perShareEvery! }]),
    ...(flat === null ? [] : [{ kind: 'flat' as const, priceMinor: flat, every: flatEvery! }]),
  ]
}
