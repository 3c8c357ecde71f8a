import { DRINKING, type TariffPart } from '../../../domain/fees/tariff/tariff.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WrittenTariff } from './store.ts'

/** One price of the cubic metre for everyone, and nothing else. */
export function isPlain({ tariffs }: Pick<WrittenTariff, 'tariffs'>): boolean {
  return tariffs.every(
    ({ payerClass, parts }) =>
      (payerClass === null || payerClass === DRINKING) &&
      parts.length === 1 &&
      parts[0]!.kind === 'per-m3' &&
      parts[0]!.blocks.length === 1,
  )
}

/** All that a tariff asks, class by class, in short sentences; empty for one that is a single price. */
export function tariffWords(desk: Desk, tariff: WrittenTariff): { who: string; lines: string[] }[] {
  if (isPlain(tariff)) return []
  return tariff.tariffs
    .filter(({ payerClass }) => payerClass !== DRINKING)
    .map(({ payerClass, parts }) => ({
      who: desk.t(`tariffs.class.${payerClass ?? 'everyone'}`),
      lines: parts.flatMap((part) => partWords(desk, part)),
    }))
}

/** One part of a tariff beside the same part of what held before: a line for each that either has. */
export function comparedWith(desk: Desk, tariff: WrittenTariff, before: WrittenTariff | null) {
  if (!before) return []
  const [old, now] = [partsByName(desk, before), partsByName(desk, tariff)]
  return [...new Set([...old.keys(), ...now.keys()])].map((name) => {
    const [was, is] = [old.get(name) ?? '', now.get(name) ?? '']
    return { name, was, is, isChanged: was !== is }
  })
}

/** Each part in words, by whom it is for and what it counts; the classes in one order. */
function partsByName(desk: Desk, { tariffs, drinkingFree }: WrittenTariff): Map<string, string> {
  const { t } = desk
  const rows = tariffs
    .filter(({ payerClass }) => payerClass !== DRINKING)
    .toSorted((a, b) => (a.payerClass ?? '').localeCompare(b.payerClass ?? ''))
    .flatMap(({ payerClass, parts }) =>
      parts.map((part): [string, string] => [
        t('tariffs.part-of', {
          who: t(`tariffs.class.${payerClass ?? 'everyone'}`),
          what: t(`tariffs.name.${part.kind}`),
        }),
        partWords(desk, part, moneyWords(desk).inRow).join('; '),
      ]),
    )
  const drinking = t(drinkingFree ? 'fees.tariff.drinking-free' : 'fees.tariff.drinking-paid')
  return new Map([...rows, [t('fees.tariff.drinking'), drinking]])
}

function partWords(desk: Desk, part: TariffPart, shown = moneyWords(desk).money): string[] {
  const { locale, format } = desk
  if (part.kind === 'no-show-part') {
    return [locale.t('tariffs.part.no-show-part', { percent: format.percent(part.part) })]
  }
  if (part.kind !== 'per-m3') {
    const every = 'every' in part ? locale.t(`fixed-fee.every.${part.every}`) : ''
    return [locale.t(`tariffs.part.${part.kind}`, { price: shown(part.priceMinor), every })]
  }
  return part.blocks.map(({ upToM3, priceMinor }, at) => {
    const price = shown(priceMinor)
    if (upToM3 !== null) return locale.t('tariffs.part.block', { price, volume: format.toLitre(upToM3) })
    return locale.t(at === 0 ? 'tariffs.part.per-m3' : 'tariffs.part.block-open', { price })
  })
}

/** What one line of a charge counts: `3.5 m³`, `2 h of the pump`, `0.5 of a turn`. */
export function lineWords(desk: Desk, { kind, quantity }: { kind: string; quantity: number }): string {
  const { locale, format } = desk
  return locale.t(`tariffs.line.${kind}`, { quantity: format.toLitre(quantity), count: quantity })
}
