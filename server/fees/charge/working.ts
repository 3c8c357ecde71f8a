import { findAbstraction } from '../../abstractions/draw/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { postedFee } from '../fixed-fee/store.ts'
import { feeWorking } from '../fixed-fee/working.ts'
import type { Account } from '../ledger/account-store.ts'
import { transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { agreedPayers } from '../payer/store.ts'
import { listTariffs } from '../tariff/store.ts'
import { isPlain, lineWords } from '../tariff/words.ts'
import { drawHistory } from './draw-history.ts'
import { type TurnOfTransfer, turnsOfTransfers } from './missed-turns.ts'
import { whatOf } from './pages.ts'
import { type ChargeLine, linesOfCharge } from './store.ts'

/** A charge and the member's account that it touches. */
interface Charged {
  transfer: WrittenTransfer
  member: Account
}

/** How a charge was reckoned, for a delivery, a turn that was not used, or a month or season; null for a transfer that is none. */
export async function chargeWorking(desk: Desk, charged: Charged): Promise<Working | null> {
  if (charged.transfer.abstractionId) return drawWorking(desk, charged)
  const missed = (await turnsOfTransfers(desk.db)).get(charged.transfer.id)
  if (missed) return missedWorking(desk, charged, missed)
  const fee = await postedFee(desk.db, charged.transfer.id)
  return fee && feeWorking(desk, fee, `/money/members/${fee.personId}`)
}

async function drawWorking(desk: Desk, { transfer, member }: Charged): Promise<Working> {
  const { locale, format } = desk
  const words = moneyWords(desk)
  const draw = found(await findAbstraction(desk.db, transfer.abstractionId!))
  const { firstId } = await drawHistory(desk.db)
  const first = firstId(draw.id)
  const sameDraw = ({ abstractionId }: WrittenTransfer) => abstractionId !== null && firstId(abstractionId) === first
  const what = { what: whatOf(desk, draw), date: format.date(draw.onDate) }
  const amount = words.money(Math.abs(transfer.amountMinor))
  const givenBack = transfer.creditAccountId === member.id
  return {
    title: 'fees.working.title',
    titleValues: what,
    result: locale.t(givenBack ? 'fees.working.given-back' : 'fees.working.result', { ...what, amount }),
    ...(draw.grade === 'estimated' && { doubt: locale.t('fees.working.estimated') }),
    isMoney: true,
    lines: [
      {
        label: locale.t('fees.working.volume'),
        value: locale.t('fees.cubic-metres', { volume: format.toLitre(draw.volumeM3) }),
        date: draw.onDate,
        href: `/log/lines/drawn/${draw.id}`,
        source: locale.t(`fees.grade.${draw.grade}`),
      },
      ...(await agreedLine(desk, draw)),
      ...(await dueLines(desk, await linesOfCharge(desk.db, transfer.id))),
      ...(await postedBefore(desk, { transfer, member }, sameDraw)),
    ],
    equation: locale.t(transfer.correctsId ? 'fees.working.equation-follow-up' : 'fees.working.equation'),
    source: locale.t('fees.working.source'),
    back: `/money/members/${member.personId}`,
  }
}

async function missedWorking(
  desk: Desk,
  { transfer, member }: Charged,
  { turnId, on }: TurnOfTransfer,
): Promise<Working> {
  const { locale, format } = desk
  const { money } = moneyWords(desk)
  const turns = await turnsOfTransfers(desk.db)
  const sameTurn = ({ id }: WrittenTransfer) => turns.get(id)?.turnId === turnId
  const values = { date: format.date(on), amount: money(transfer.amountMinor) }
  const givenBack = transfer.creditAccountId === member.id
  return {
    title: 'fees.working.not-used-title',
    titleValues: { date: values.date },
    result: locale.t(givenBack ? 'fees.working.not-used-back' : 'fees.working.not-used', values),
    isMoney: true,
    lines: [
      {
        label: locale.t('fees.working.turn'),
        value: locale.t('fees.charges.not-used'),
        date: on,
        href: `/turns/${turnId}`,
        source: locale.t('fees.working.turn-source'),
      },
      ...(await dueLines(desk, await linesOfCharge(desk.db, transfer.id))),
      ...(await postedBefore(desk, { transfer, member }, sameTurn)),
    ],
    equation: locale.t(givenBack ? 'fees.working.equation-not-used-back' : 'fees.working.equation-not-used'),
    source: locale.t('fees.working.source'),
    back: `/money/members/${member.personId}`,
  }
}

/** Who pays, where both sides of a swap agreed on another plot than the one that took the water. */
async function agreedLine(desk: Desk, draw: Parameters<typeof agreedPayers>[1][number]): Promise<WorkingLine[]> {
  const payer = (await agreedPayers(desk.db, [draw])).get(draw.id)
  if (!payer) return []
  const { t } = desk
  const plot = await desk.db
    .selectFrom('plot')
    .select(['number', 'name'])
    .where('entryId', '=', payer.plotId)
    .executeTakeFirst()
  const { number, name } = found(plot)
  return [
    { label: t('fees.working.agreed'), value: t('fees.charges.plot', { number, name }), href: '/turns/asked?as=swaps' },
  ]
}

async function dueLines(desk: Desk, lines: readonly ChargeLine[]): Promise<WorkingLine[]> {
  const { locale } = desk
  const words = moneyWords(desk)
  const tariffs = new Map((await listTariffs(desk.db)).map((tariff) => [tariff.id, tariff]))
  return lines.flatMap((line) => {
    const tariff = found(tariffs.get(line.tariffId))
    const rule = { date: tariff.fromOn, href: `/money/names/price/${tariff.id}` }
    if (!isPlain(tariff)) return [{ label: lineWords(desk, line), value: words.inRow(line.amountMinor), ...rule }]
    return [
      { label: locale.t('fees.working.price'), value: words.inRow(tariff.perM3Minor), ...rule },
      { label: locale.t('fees.working.due'), value: words.inRow(line.amountMinor) },
    ]
  })
}

/** What had been posted for the same thing and the same person when this transfer was written. */
async function postedBefore(
  desk: Desk,
  { transfer, member }: Charged,
  isSame: (transfer: WrittenTransfer) => boolean,
): Promise<WorkingLine[]> {
  const { inRow } = moneyWords(desk)
  const earlier = (await transfersOf(desk.db, member.id)).filter((one) => one.seq < transfer.seq && isSame(one))
  return earlier.map((one) => ({
    label: desk.t('fees.working.before'),
    value: inRow(one.debitAccountId === member.id ? one.amountMinor : -one.amountMinor),
    date: one.on,
    href: `/money/working/charge/${one.id}`,
  }))
}
