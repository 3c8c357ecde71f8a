import type { CannotSay } from '../../../domain/fees/reconcile/difference.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { CashCount } from '../cash/count-store.ts'
import { gapWords, resultWords, unnamedWords } from '../cash/words.ts'
import { seesAllMoney } from '../privacy.ts'
import type { PeriodBooks } from './books.ts'
import { findingShown } from './finding-words.ts'
import { openMatters } from './open-state.ts'

/** A period as pages and reports show it; a closed one from the figures that it was closed with. */
export function periodShown(desk: Desk, books: PeriodBooks) {
  const { format, locale } = desk
  const { inRow, money } = moneyWords(desk)
  const sums = seesAllMoney(desk) ? 'told' : 'hidden'
  const all = books.findings.map((finding) => findingShown(desk, finding, books))
  const [waiting, findings] = [all.filter(({ waits }) => waits), all.filter(({ waits }) => !waits)]
  const cannotSay = books.cannotSay.map(({ key, what, note }) => ({
    key,
    what,
    sentence: locale.t(`reconcile.cannot-say.${what}`, { name: countOf(what, books)?.secondName ?? '' }),
    ...cannotSayDoor(what, books),
    note: note && { words: note.words, by: note.writerName, at: format.instant(note.writtenAt) },
  }))
  const unsettled = (some: readonly { note: unknown }[]) => some.filter(({ note }) => !note).length
  const matters = openMatters(books)
  const differs = matters.differs + matters.unchecked
  const { arrears } = books
  return {
    from: books.from,
    to: books.to,
    caption: { from: format.date(books.from), to: format.date(books.to) },
    water: waterRows(desk, books),
    arrears: [
      ['opening', arrears.openingMinor],
      ['charges', arrears.chargesMinor],
      ['fines', arrears.finesMinor],
      ['receipts', -arrears.receiptsMinor],
      ['relief', -arrears.reliefMinor],
      ['closing', arrears.closingMinor],
    ].map(([name, amount]) => ({ label: locale.t(`reconcile.arrears-row.${name}`), amount: inRow(Number(amount)) })),
    columns: books.columns.map((column) => columnShown(desk, column, books)),
    receipts: locale.t('reconcile.receipts-line', { count: books.receipts.count, voided: books.receipts.voided }),
    oneName: (books.oneName ?? []).map(({ what, writerName, count, amountMinor = 0 }) =>
      // A sum of one line would tell what a payer owes to who does not keep the money.
      locale.t(`reconcile.one-name.${what}`, { who: writerName, count, amount: money(amountMinor), sums }),
    ),
    indicators: indicatorsShown(desk, books),
    findings,
    waiting,
    counts: (books.counts ?? []).flatMap((count) => {
      const lines = gapWords(desk, count)
      return lines.length ? [{ id: count.id, lines }] : []
    }),
    cannotSay,
    /** What stands in the way of closing: what is not charged yet does so too. */
    open: differs + unsettled(waiting),
    state: locale.t(`reconcile.state-${stateOf()}`, { count: differs }),
  }

  function stateOf(): string {
    if (differs > 0) return 'open'
    if (unsettled(waiting) > 0) return 'waits'
    return all.length ? 'named' : 'closes'
  }
}

/** The count of which one thing that cannot be said tells. */
function countOf(what: CannotSay, { count, reserveCount }: PeriodBooks): CashCount | null {
  return (what.startsWith('reserve-') ? reserveCount : count) ?? null
}

/** Where it can be mended; the meters of the pumps are read in the log, of which no door tells. */
function cannotSayDoor(what: CannotSay, books: PeriodBooks) {
  if (what === 'no-pump-reading') return { href: '/log', door: null }
  const waiting = what.endsWith('-count-waits') && countOf(what, books)
  if (waiting) return { href: `/money/names/count/${waiting.id}`, door: 'reconcile.door.count' }
  const stated = books.statements.find(({ column }) => what === `${column}-statement-waits`)
  if (stated) return { href: `/money/names/bank-paper/${stated.id}`, door: 'reconcile.door.statement' }
  const again = what.replace('-count-declined', '-not-counted').replace(/^(.*)-statement-declined/, 'no-$1-statement')
  const href = again.endsWith('-not-counted') ? '/money/count' : '/money/bank-paper'
  return { href, door: `reconcile.cannot-say-door.${again}` }
}

function waterRows(desk: Desk, { water, volumes }: PeriodBooks) {
  const { format, locale } = desk
  const m3 = (volume: number) => locale.t('reconcile.m3', { volume: format.volume(volume) })
  const row = (name: string, value: string, href: string | null = null) => ({
    label: locale.t(`reconcile.water-row.${name}`),
    value,
    href,
    note: '',
  })
  const { deliveredM3, deliveredUncertaintyM3, chargedM3, freeM3, byHandM3 } = volumes
  const mayPost = desk.may('charges.post')
  const waitingM3 = Math.max(0, deliveredM3 - chargedM3 - freeM3)
  return [
    ...(water
      ? [
          { ...row('pumped', m3(water.pumpedM3), '/water/went'), note: basisWords(desk, water) },
          row('through-pumps', m3(water.throughPumpsM3), '/log'),
          row(
            'unexplained',
            locale.t('reconcile.give-or-take', {
              volume: format.volume(water.unexplainedM3),
              tolerance: format.volume(water.toleranceM3),
            }),
            '/water/went',
          ),
        ]
      : [row('pumped', locale.t('reconcile.not-read'))]),
    ...(byHandM3 ? [row('by-hand', m3(byHandM3))] : []),
    row(
      'delivered',
      locale.t('reconcile.give-or-take', {
        volume: format.volume(deliveredM3),
        tolerance: format.volume(deliveredUncertaintyM3),
      }),
      '/log',
    ),
    row('charged', m3(chargedM3)),
    row('free', m3(freeM3)),
    row('waiting', m3(waitingM3), mayPost ? '/money/charges' : null),
  ]
}

/** By what the pumped water is known: the pumps' own readings, or the turns; closings of older days do not say. */
function basisWords(desk: Desk, { basis }: NonNullable<PeriodBooks['water']>): string {
  return basis ? desk.t('reconcile.water-basis', basis) : ''
}

function columnShown(desk: Desk, column: PeriodBooks['columns'][number], books: PeriodBooks) {
  const { format, locale } = desk
  const { inRow } = moneyWords(desk)
  const counts: Record<string, CashCount | null | undefined> = { cash: books.count, reserve: books.reserveCount }
  const statement = books.statements.find((one) => one.column === column.column)
  const count = counts[column.column]
  const checked =
    column.column in counts
      ? count && {
          href: `/money/names/count/${count.id}`,
          amount: inRow(count.countedMinor),
          on: format.date(count.countedOn),
        }
      : statement && {
          href: `/money/names/bank-paper/${statement.id}`,
          amount: inRow(statement.closingMinor),
          on: format.date(statement.toOn),
        }
  return {
    name: locale.t(`fees.payment.column.${column.column}`),
    opening: inRow(column.openingMinor),
    in: inRow(column.inMinor),
    out: inRow(column.outMinor),
    closing: inRow(column.closingMinor),
    checked: checked ?? null,
    result: count ? resultWords(desk, count, inRow) : '',
    unnamed: statement?.unnamed
      ? locale.t(`money-statement.${statement.unnamed}`)
      : count && count.differenceMinor !== 0
        ? unnamedWords(desk, count)
        : null,
    since: sinceThen(),
  }

  /** A count of an earlier day agrees with the book of that day, not with the sum beside it. */
  function sinceThen(): string {
    const bookMinor = count && count.countedMinor - count.differenceMinor
    if (count && bookMinor !== column.closingMinor)
      return locale.t('reconcile.checked-book', { amount: inRow(bookMinor!) })
    const earlier = statement && statement.toOn < books.to && statement.closingMinor !== column.closingMinor
    return earlier && !count ? locale.t('reconcile.checked-since') : ''
  }
}

function indicatorsShown(desk: Desk, { indicators, costsMinor }: PeriodBooks) {
  const { format, locale } = desk
  const { money } = moneyWords(desk)
  const { collectionRatio, costRecoveryRatio, costPerM3Minor } = indicators
  const shown = (name: string, value: string | null) => ({
    label: locale.t(`reconcile.indicator.${name}`),
    value: value ?? locale.t(`reconcile.indicator.no-${name}`),
  })
  return [
    shown('collection', collectionRatio === null ? null : format.percent(collectionRatio)),
    shown('recovery', costRecoveryRatio === null ? null : format.percent(costRecoveryRatio)),
    shown('cost-per-m3', costPerM3Minor === null || costsMinor === 0 ? null : money(Math.round(costPerM3Minor))),
  ]
}
