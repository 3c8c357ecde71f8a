import type { FastifyRequest } from 'fastify'
import { may } from '../../domain/people/permissions.ts'
import type { Database } from '../database/connection.ts'
import { newId } from '../database/entries.ts'
import { listClosings } from './closing-store.ts'
import { listCounts } from './count-store.ts'
import { listFines } from './fine-store.ts'
import { moneyWords } from './money-words.ts'
import { listReliefs } from './relief-store.ts'
import { listVouchers, NAMES_NEEDED } from './voucher-store.ts'

interface Asked {
  label: string
  href?: string
  /** A matter that needs no page of its own: the button says it all. */
  action?: string
  formKey?: string
}

/** The matters that wait for this visitor's name, each by itself. */
export async function askedOf(db: Database, request: FastifyRequest): Promise<Asked[]> {
  const { id: own, roles } = request.person!
  const { format, locale } = request.visit
  const counts = (await listCounts(db)).filter((count) => count.secondId === own && !count.approval)
  const asked: Asked[] = counts.map((count) => ({
    label: locale.t('treasury.count.approve', {
      name: count.writerName,
      date: format.date(count.countedOn),
      amount: moneyWords(request.visit).money(count.countedMinor),
    }),
    action: `/cash-counts/${count.id}/approval`,
    formKey: newId(),
  }))
  if (!may({ roles, permission: 'relief.approve' })) return asked
  const door = (href: string, name: string, values: Record<string, string | number> = {}) =>
    asked.push({ href, label: locale.t(`treasury.asked.${name}`, values) })
  for (const relief of await listReliefs(db)) {
    if (relief.askedId === own && !relief.approval && relief.writerId !== own) door(`/reliefs/${relief.id}`, 'relief')
  }
  for (const fine of await listFines(db)) {
    if (!fine.approval && fine.writerId !== own && fine.personId !== own) door(`/fines/${fine.id}`, 'fine')
  }
  for (const voucher of await listVouchers(db)) {
    const signed = voucher.writerId === own || voucher.names.some(({ personId }) => personId === own)
    if (voucher.names.length < NAMES_NEEDED && !signed) {
      door(`/vouchers/${voucher.id}`, 'voucher', { number: voucher.number })
    }
  }
  for (const closing of await listClosings(db)) {
    if (closing.approval || closing.writerId === own) continue
    door(`/closings/${closing.id}`, 'closing', { from: format.date(closing.from), to: format.date(closing.to) })
  }
  return asked
}
