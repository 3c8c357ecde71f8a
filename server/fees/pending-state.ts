import type { Id } from '../../domain/id.ts'
import { ownHousehold } from '../book/names/own-matter.ts'
import { moneyWords } from '../web/figures/money-words.ts'
import type { Desk } from '../web/pages/desk.ts'
import { listMoves } from './arrears/move-store.ts'
import { listReliefs } from './arrears/relief-store.ts'
import { listCounts, unnamed } from './cash/count-store.ts'
import { listClosings } from './closing/store.ts'
import { finesUnderAppeal } from './fine/appeal-store.ts'
import { type Fine, listFines } from './fine/store.ts'
import { lastChargedDay } from './ledger/charged-store.ts'
import { listTariffs } from './tariff/store.ts'
import { listReserveMoves } from './voucher/reserve-store.ts'
import { listVouchers, NAMES_NEEDED } from './voucher/store.ts'

export interface Asked {
  label: string
  href: string
}

/** A matter of money that somebody else wrote and that has no second name yet. */
interface Matter {
  id: string
  writerId: Id<'person'>
  approval: unknown
  withheld: unknown
}

/** The matters of money that wait for this visitor's name, each by itself. */
export async function moneyAsked(desk: Desk): Promise<Asked[]> {
  const asked = await countsAsked(desk)
  if (desk.may('tariff.approve')) asked.push(...(await tariffsAsked(desk)))
  if (!desk.may('relief.approve')) return asked
  const { id: own } = desk.person
  const { format, locale } = desk
  const isOpen = ({ writerId, approval, withheld }: Matter) => !approval && !withheld && writerId !== own
  const door = (href: string, name: string, values: Record<string, string | number> = {}) =>
    asked.push({ href, label: locale.t(`money.asked.${name}`, values) })
  for (const relief of (await listReliefs(desk.db)).filter(isOpen)) {
    if (relief.askedId === own) door(`/money/names/relief/${relief.id}`, 'relief')
  }
  for (const move of (await listMoves(desk.db)).filter(isOpen)) {
    if (![move.tenantId, move.ownerId].includes(own)) door(`/money/names/to-owner/${move.id}`, 'arrears-move')
  }
  for (const fine of (await listFines(desk.db)).filter(isOpen)) {
    if (fine.personId !== own) door(`/money/names/fine/${fine.id}`, 'fine')
  }
  for (const fine of await undecidedFines(desk)) door(`/money/names/fine/${fine.id}`, 'fine-appeal')
  for (const { id, number, names, writerId, withheld } of await listVouchers(desk.db)) {
    const signed = writerId === own || names.some(({ personId }) => personId === own)
    if (names.length < NAMES_NEEDED && !signed && !withheld) door(`/money/names/voucher/${id}`, 'voucher', { number })
  }
  for (const move of (await listReserveMoves(desk.db)).filter(isOpen)) {
    door(`/money/names/move/${move.id}`, `reserve-${move.way}`, {
      amount: moneyWords(desk).money(move.amountMinor),
    })
  }
  for (const closing of (await listClosings(desk.db)).filter(isOpen)) {
    door(`/money/names/closing/${closing.id}`, 'closing', {
      from: format.date(closing.from),
      to: format.date(closing.to),
    })
  }
  return asked
}

/** Fines under appeal in which the visitor has no part. */
async function undecidedFines(desk: Desk): Promise<Fine[]> {
  const { db, person } = desk
  const undecided = await finesUnderAppeal(db)
  if (undecided.size === 0) return []
  const own = [person.id, ...(await ownHousehold(desk))]
  return (await listFines(db)).filter(
    ({ transfer, writerId, personId, approval }) =>
      transfer &&
      undecided.has(transfer.id) &&
      ![writerId, approval?.approverId].includes(person.id) &&
      !own.includes(personId),
  )
}

/** Counts at which the visitor sat; almost always there is none, so the book is read only where one waits. */
async function countsAsked(desk: Desk): Promise<Asked[]> {
  const { id: own } = desk.person
  const { format, locale } = desk
  const waiting = await desk.db
    .selectFrom('cashCount')
    .select('entryId')
    .where('secondId', '=', own)
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('approval').select('approval.entryId').whereRef('approval.subjectId', '=', 'cashCount.entryId'),
        ),
      ),
    )
    .limit(1)
    .executeTakeFirst()
  if (!waiting) return []
  const counts = (await listCounts(desk.db)).filter((count) => count.secondId === own && unnamed(count) === 'waits')
  return counts.map((count) => ({
    label: locale.t(`cash.count.asked-${count.column}`, {
      name: count.writerName,
      date: format.date(count.countedOn),
    }),
    href: `/money/names/count/${count.id}`,
  }))
}

/** Prices that can still come into force: one that begins on charged days cannot, and has to be written again. */
async function tariffsAsked(desk: Desk): Promise<Asked[]> {
  const own = desk.person.id
  const { format, locale } = desk
  const waiting = (await listTariffs(desk.db)).filter(
    ({ approval, writerId, withheld }) => !approval && !withheld && writerId !== own,
  )
  if (waiting.length === 0) return []
  const charged = (await lastChargedDay(desk.db)) ?? ''
  return waiting
    .filter(({ fromOn }) => fromOn > charged)
    .map(({ id, fromOn }) => ({
      href: `/money/names/price/${id}`,
      label: locale.t('money.asked.tariff', { date: format.date(fromOn) }),
    }))
}
