import { group } from 'd3-array'
import type { ChargeLine } from '../../../domain/fees/charge/types.ts'
import { sum } from '../../../domain/sum.ts'
import type { Abstraction } from '../../abstractions/draw/store.ts'
import type { MoneyWords } from '../../web/figures/money-words.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WrittenTariff } from '../tariff/store.ts'
import { isPlain } from '../tariff/words.ts'
import type { DueCharge } from './due.ts'
import type { Reckoning } from './reckoning.ts'
import { seenMark } from './seen.ts'

/**
 * The charges to post, person by person, as the page shows them before anything is written. `odd` names the draws that
 * the log has flagged and nobody has settled yet.
 */
export function chargesShown(
  desk: Desk,
  reckoning: Reckoning,
  { tariffs, odd }: { tariffs: readonly WrittenTariff[]; odd: ReadonlySet<string> },
) {
  const words = moneyWords(desk)
  const prices = new Map(tariffs.map((tariff) => [tariff.id, tariff]))
  const dueOf = group(reckoning.due, ({ accountId }) => accountId)
  const people = reckoning.payers.map((payer) => {
    const own = dueOf.get(payer.accountId) ?? []
    const total = sum(own, (due) => due.differenceMinor)
    return {
      ...payer,
      total: words.inRow(total),
      rows: own.map((due) => ({ ...rowOf(desk, words, due, prices), lookAgain: odd.has(due.abstractionId ?? '') })),
    }
  })
  return {
    people,
    count: reckoning.due.length,
    total: words.money(reckoning.totalMinor),
    totalInRow: words.inRow(reckoning.totalMinor),
    seen: seenMark(reckoning),
    waitingTurns: reckoning.waitingTurns.map(({ turnId, on, step, hearingId }) => ({
      turn: { href: `/turns/${turnId}`, date: desk.format.date(on) },
      words: desk.t(`missed-turn.missed.step-${step}`),
      href: hearingId
        ? `/money/names/missed-turn/${hearingId}`
        : `/money/fine?as=missed-turn&turn=${encodeURIComponent(turnId)}`,
      door: desk.t(hearingId ? 'missed-turn.missed.door-hearing' : 'missed-turn.missed.door-new'),
    })),
    withoutTariff: reckoning.withoutTariff.map((draw) => drawLine(desk, draw)),
    withoutPayer: reckoning.withoutPayer.map((draw) => drawLine(desk, draw)),
  }
}

function rowOf(desk: Desk, words: MoneyWords, due: DueCharge, prices: ReadonlyMap<string, WrittenTariff>) {
  const { format, locale } = desk
  const line = due.lines[0]
  const tariff = line && prices.get(line.tariffId)
  const { draw, missed } = due
  return {
    href: missed ? `/turns/${missed.turnId}` : `/log/lines/drawn/${due.abstractionId}`,
    date: missed ? format.date(missed.on) : draw ? format.date(draw.onDate) : '',
    what: missed ? locale.t('fees.charges.not-used') : draw ? whatOf(desk, draw) : locale.t('fees.charges.struck-out'),
    volume: draw ? format.toLitre(draw.volumeM3) : '',
    estimated: draw?.grade === 'estimated',
    price: tariff ? priceOf(desk, words, due, tariff) : '',
    priceHref: tariff ? `/money/names/price/${tariff.id}` : '',
    amount: words.inRow(due.differenceMinor),
    followUp: due.followsId ? due.reason || locale.t('fees.charges.said-otherwise') : null,
  }
}

/** What one cubic metre of this line costs; where other parts come on top of it, that is said. */
function priceOf({ t }: Desk, words: MoneyWords, { lines }: DueCharge, tariff: WrittenTariff): string {
  if (isPlain(tariff)) return words.inRow(tariff.perM3Minor)
  const volume = lines.find(({ kind, quantity }) => kind === 'per-m3' && quantity > 0)
  if (!volume) return t('tariffs.by-other')
  const price = words.inRow(writtenPrice(tariff, volume) ?? Math.round(volume.amountMinor / volume.quantity))
  return lines.length > 1 ? t('tariffs.several-line', { price }) : price
}

/** The price that was agreed: what was rounded to a coin, divided again by few litres, is another one. Null where several are asked. */
function writtenPrice({ tariffs }: WrittenTariff, { amountMinor, quantity }: ChargeLine): number | null {
  const single = tariffs
    .flatMap(({ parts }) => parts)
    .flatMap((part) => (part.kind === 'per-m3' && part.blocks.length === 1 ? [part.blocks[0]!.priceMinor] : []))
  const fitting = new Set(single.filter((priceMinor) => Math.abs(priceMinor * quantity - amountMinor) < 1))
  return fitting.size === 1 ? [...fitting][0]! : null
}

function drawLine(desk: Desk, draw: Abstraction) {
  const { format } = desk
  return {
    href: `/log/lines/drawn/${draw.id}`,
    date: format.date(draw.onDate),
    what: whatOf(desk, draw),
    volume: format.toLitre(draw.volumeM3),
  }
}

/** What the water was for: the plot, else the use. */
export function whatOf(desk: Desk, draw: Abstraction): string {
  const { locale } = desk
  if (draw.plotNumber !== null) {
    return locale.t('fees.charges.plot', { number: draw.plotNumber, name: draw.plotName ?? '' })
  }
  return locale.t(`fees.use.${draw.use}`)
}
