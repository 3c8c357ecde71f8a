import type { CalendarDate } from '../../../domain/calendar.ts'
import { settleOldestFirst } from '../../../domain/fees/arrears/settle.ts'
import { statement } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { TurnOfTransfer } from '../charge/missed-turns.ts'
import { whatOf } from '../charge/pages.ts'
import { transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { receiptKey } from '../receipt/store.ts'
import { type StatementParts, statementParts } from './parts.ts'

export interface AccountLine {
  transfer: WrittenTransfer
  what: string
  href: string | null
  /** Where the figure opens to its working. */
  workingHref: string | null
  estimated: boolean
  volumeM3: M3 | null
  chargedMinor: number
  paidMinor: number
  balanceMinor: number
  /** What is still to be paid of this charge; null for a line that is none, or of a part of an account. */
  openMinor: number | null
}

/** A member's account from its first line, with words and doors for each. */
export async function accountLines(desk: Desk, accountId: Id<'account'>) {
  const transfers = await transfersOf(desk.db, accountId)
  return linesOf(desk, { accountId, transfers, parts: await statementParts(desk.db, transfers) })
}

interface Asked {
  accountId: Id<'account'>
  transfers: readonly WrittenTransfer[]
  parts: StatementParts
  /** The first day whose lines are told; what was before it is one sum. */
  from?: CalendarDate
}

/** The same where transfers and parts are at hand already. */
export function linesOf(desk: Desk, { accountId, transfers, parts, from }: Asked) {
  const byId = new Map(transfers.map((transfer) => [transfer.id, transfer]))
  const { openingMinor, lines, closingMinor } = statement({ transfers, accountId, from })
  // A part of an account tells no single charge as open: what settles it may stand outside.
  const { charges } = from === undefined ? settleOldestFirst({ transfers, accountId }) : { charges: [] }
  const open = new Map(charges.map((charge) => [charge.transferId, charge.openMinor]))
  const shown = lines.map((line): AccountLine => {
    const transfer = byId.get(line.transferId)!
    const corrected = transfer.correctsId ? byId.get(transfer.correctsId) : undefined
    return {
      transfer,
      ...wordsOf(desk, { transfer, corrected, parts }),
      chargedMinor: line.debitMinor,
      paidMinor: line.creditMinor,
      balanceMinor: line.balanceMinor,
      openMinor: open.get(transfer.id) ?? null,
    }
  })
  return { openingMinor, lines: shown, closingMinor }
}

interface Told {
  transfer: WrittenTransfer
  corrected: WrittenTransfer | undefined
  parts: StatementParts
}

const NOTHING = { href: null, workingHref: null, estimated: false, volumeM3: null }

function wordsOf(desk: Desk, { transfer, corrected, parts }: Told) {
  const { t } = desk
  if (transfer.abstractionId) return chargeWords(desk, transfer, parts)
  const missed = parts.missed.get(transfer.id)
  if (missed) return missedWords(desk, transfer, missed)
  if (transfer.receiptNumber !== null) {
    const column = t(`fees.payment.column.${parts.codes.get(transfer.debitAccountId)}`)
    const what = t('fees.line.receipt', {
      number: transfer.receiptNumber,
      column,
      words: transfer.words ? ` – ${transfer.words}` : '',
    })
    return { ...NOTHING, what, href: `/money/receipts/${receiptKey(transfer)}` }
  }
  if (corrected?.receiptNumber) {
    const what = t('fees.line.void', { number: corrected.receiptNumber, reason: transfer.reason ?? '' })
    return { ...NOTHING, what, href: `/money/receipts/${receiptKey(corrected)}` }
  }
  const words = transfer.words ?? transfer.reason ?? ''
  const what = t('fees.line.other', { kind: t(`fees.kind.${transfer.kind}`), words })
  return { ...NOTHING, what, workingHref: parts.fixed.has(transfer.id) ? `/money/working/charge/${transfer.id}` : null }
}

function chargeWords(desk: Desk, transfer: WrittenTransfer, { draws, agreed }: StatementParts) {
  const { locale, format } = desk
  const draw = draws.get(transfer.abstractionId!)!
  const values = {
    what: whatOf(desk, draw) + (agreed.has(draw.id) ? locale.t('fees.line.agreed') : ''),
    volume: format.toLitre(draw.volumeM3),
    date: format.date(draw.onDate),
    reason: transfer.reason ?? '',
  }
  return {
    what: locale.t(transfer.correctsId ? 'fees.line.follow-up' : 'fees.line.charge', values),
    href: `/log/lines/drawn/${draw.id}`,
    workingHref: `/money/working/charge/${transfer.id}`,
    estimated: draw.grade === 'estimated',
    volumeM3: draw.volumeM3,
  }
}

/** A turn that was left without word, and the rule by which it is charged; or the line that gives it back. */
function missedWords(desk: Desk, transfer: WrittenTransfer, { turnId, on, ruleOn }: TurnOfTransfer) {
  const { locale, format } = desk
  const date = format.date(on)
  const what = ruleOn
    ? locale.t('fees.line.not-used', { date, rule: format.date(ruleOn) })
    : locale.t('fees.line.not-used-back', { date, reason: transfer.reason || locale.t('fees.charges.said-otherwise') })
  return { ...NOTHING, what, href: `/turns/${turnId}`, workingHref: `/money/working/charge/${transfer.id}` }
}
