import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Block, TariffPart } from '../../../domain/fees/tariff/tariff.ts'
import type { M3 } from '../../../domain/units.ts'
import type { NewTariff, WrittenTariff } from './store.ts'

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
  noShowPercent: number | null
  perShare: number | null
  perShareEvery: 'month' | 'season' | null
  perHectare: number | null
  perHectareEvery: 'month' | 'season' | null
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
    return { wrong: firstUpToM3 === null ? 'firstUpToM3' : 'secondPerM3', key: 'tariffs.block-half' }
  }
  if ((secondUpToM3 === null) !== (thirdPerM3 === null)) {
    return { wrong: secondUpToM3 === null ? 'secondUpToM3' : 'thirdPerM3', key: 'tariffs.block-half' }
  }
  if (secondUpToM3 !== null && !(firstUpToM3 !== null && secondUpToM3 > firstUpToM3)) {
    return { wrong: 'secondUpToM3', key: 'tariffs.block-order' }
  }
  if (typed.perNoShow !== null && typed.noShowPercent !== null) {
    return { wrong: 'noShowPercent', key: 'tariffs.no-show-one' }
  }
  if (typed.perShare !== null && !typed.perShareEvery) return { wrong: 'perShareEvery', key: 'error.choose' }
  if (typed.perHectare !== null && !typed.perHectareEvery) return { wrong: 'perHectareEvery', key: 'error.choose' }
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

/** A tariff as it stands in the form again, so that a new price carries on all the other parts. */
export function typedAgain({ tariffs, drinkingFree }: WrittenTariff, typed: (minor: number) => string) {
  const general = tariffs.find(({ payerClass }) => payerClass === null)?.parts ?? []
  const [first, second, third] = blocksOf(general)
  const one = (kind: TariffPart['kind']) => general.find((part) => part.kind === kind)
  const price = (kind: Exclude<TariffPart['kind'], 'per-m3'>) => priceText(one(kind))
  const every = (kind: 'per-share' | 'per-hectare' | 'flat') => {
    const part = one(kind)
    return part && 'every' in part ? part.every : ''
  }
  const volume = (block: Block | undefined) => (block?.upToM3 == null ? '' : String(block.upToM3))
  const ofClass = (name: string) => {
    const [own] = blocksOf(tariffs.find(({ payerClass }) => payerClass === name)?.parts ?? [])
    return own ? typed(own.priceMinor) : ''
  }
  return {
    perM3: first ? typed(first.priceMinor) : '',
    firstUpToM3: volume(first),
    secondPerM3: second ? typed(second.priceMinor) : '',
    secondUpToM3: volume(second),
    thirdPerM3: third ? typed(third.priceMinor) : '',
    perPumpHour: price('per-pump-hour'),
    perTurn: price('per-turn'),
    perNoShow: price('no-show'),
    noShowPercent: partPercent(),
    perShare: price('per-share'),
    perShareEvery: every('per-share'),
    perHectare: price('per-hectare'),
    perHectareEvery: every('per-hectare'),
    flat: price('flat'),
    flatEvery: every('flat'),
    tenantPerM3: ofClass('tenant'),
    schoolPerM3: ofClass('school'),
    drinkingFree: drinkingFree ? 'yes' : '',
  }

  function priceText(part: TariffPart | undefined): string {
    return part && 'priceMinor' in part ? typed(part.priceMinor) : ''
  }

  function partPercent(): string {
    const part = one('no-show-part')
    return part?.kind === 'no-show-part' ? String(Math.round(part.part * 1e6) / 1e4) : ''
  }
}

function blocksOf(parts: readonly TariffPart[]): readonly Block[] {
  const volume = parts.find((part) => part.kind === 'per-m3')
  return volume?.kind === 'per-m3' ? volume.blocks : []
}

function partsOf({
  perPumpHour,
  perTurn,
  perNoShow,
  noShowPercent,
  perShare,
  perShareEvery,
  perHectare,
  perHectareEvery,
  flat,
  flatEvery,
}: Typed): NewTariff['parts'] {
  return [
    ...(perPumpHour === null ? [] : [{ kind: 'per-pump-hour' as const, priceMinor: perPumpHour }]),
    ...(perTurn === null ? [] : [{ kind: 'per-turn' as const, priceMinor: perTurn }]),
    ...(perNoShow === null ? [] : [{ kind: 'no-show' as const, priceMinor: perNoShow }]),
    ...(noShowPercent === null ? [] : [{ kind: 'no-show-part' as const, part: noShowPercent / 100 }]),
    ...(perShare === null ? [] : [{ kind: 'per-share' as const, priceMinor: perShare, every: perShareEvery! }]),
    ...(perHectare === null ? [] : [{ kind: 'per-hectare' as const, priceMinor: perHectare, every: perHectareEvery! }]),
    ...(flat === null ? [] : [{ kind: 'flat' as const, priceMinor: flat, every: flatEvery! }]),
  ]
}
