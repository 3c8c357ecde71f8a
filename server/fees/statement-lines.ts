import type { FastifyRequest } from 'fastify'
import { settleOldestFirst, statement } from '../../domain/fees/index.ts'
import { findAbstraction } from '../abstractions/abstraction-store.ts'
import type { Database } from '../database/connection.ts'
import { listAccounts } from './account-store.ts'
import { whatOf } from './charge-pages.ts'
import { receiptKey } from './receipt-store.ts'
import { transfersOf, type WrittenTransfer } from './transfer-store.ts'

export interface AccountLine {
  transfer: WrittenTransfer
  what: string
  href: string | null
  /** Where the figure opens to its working. */
  workingHref: string | null
  estimated: boolean
  volumeM3: number | null
  chargedMinor: number
  paidMinor: number
  balanceMinor: number
  /** What is still to be paid of this charge; null for a line that is none. */
  openMinor: number | null
}

/** A member's account from its first line, with words and doors for each. */
export async function accountLines(db: Database, request: FastifyRequest, accountId: string) {
  const transfers = await transfersOf(db, accountId)
  const byId = new Map(transfers.map((transfer) => [transfer.id, transfer]))
  const codes = new Map((await listAccounts(db)).map((account) => [account.id, account.code]))
  const { lines, closingMinor } = statement({ transfers, accountId })
  const { charges } = settleOldestFirst({ transfers, accountId })
  const open = new Map(charges.map((charge) => [charge.transferId, charge.openMinor]))
  const shown: AccountLine[] = []
  for (const line of lines) {
    const transfer = byId.get(line.transferId)!
    const corrected = transfer.correctsId ? byId.get(transfer.correctsId) : undefined
    shown.push({
      transfer,
      ...(await wordsOf(db, request, { transfer, corrected, codes })),
      chargedMinor: line.debitMinor,
      paidMinor: line.creditMinor,
      balanceMinor: line.balanceMinor,
      openMinor: open.get(transfer.id) ?? null,
    })
  }
  return { lines: shown, closingMinor }
}

interface Told {
  transfer: WrittenTransfer
  corrected: WrittenTransfer | undefined
  codes: ReadonlyMap<string, string>
}

async function wordsOf(db: Database, request: FastifyRequest, { transfer, corrected, codes }: Told) {
  const { t } = request.visit.locale
  const nothing = { workingHref: null, estimated: false, volumeM3: null }
  if (transfer.abstractionId) return chargeWords(db, request, transfer)
  if (transfer.receiptNumber !== null) {
    const column = t(`fees.payment.column.${codes.get(transfer.debitAccountId)}`)
    const what = t('fees.line.receipt', {
      number: transfer.receiptNumber,
      column,
      words: transfer.words ? ` – ${transfer.words}` : '',
    })
    return { ...nothing, what, href: `/receipts/${receiptKey(transfer)}` }
  }
  if (corrected?.receiptNumber) {
    const what = t('fees.line.void', { number: corrected.receiptNumber, reason: transfer.reason ?? '' })
    return { ...nothing, what, href: `/receipts/${receiptKey(corrected)}` }
  }
  const words = transfer.words ?? transfer.reason ?? ''
  return { ...nothing, what: t('fees.line.other', { kind: t(`fees.kind.${transfer.kind}`), words }), href: null }
}

async function chargeWords(db: Database, request: FastifyRequest, transfer: WrittenTransfer) {
  const { locale, format } = request.visit
  const draw = (await findAbstraction(db, transfer.abstractionId!))!
  const values = {
    what: whatOf(request, draw),
    volume: format.toLitre(draw.volumeM3),
    date: format.date(draw.onDate),
    reason: transfer.reason ?? '',
  }
  return {
    what: locale.t(transfer.correctsId ? 'fees.line.follow-up' : 'fees.line.charge', values),
    href: `/abstractions/${draw.id}`,
    workingHref: `/charges/${transfer.id}`,
    estimated: draw.grade === 'estimated',
    volumeM3: draw.volumeM3,
  }
}
