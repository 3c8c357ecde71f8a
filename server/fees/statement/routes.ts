import { findPerson } from '../../people/person/store.ts'
import { answeringOwners } from '../../people/plot/owner-state.ts'
import { canBeHeard } from '../../people/voice/state.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { memberAccount } from '../ledger/account-store.ts'
import { moneyAsked } from '../pending-state.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { balanceSaid } from '../spoken/said.ts'
import { accountLines } from './lines.ts'
import { statementLineShown } from './pages.ts'

/** One member's own account, on the page and as a list. */
export function addStatementPages({ get }: Pages): void {
  get('/money/members/:personId', 'money.see-own', showMemberStatement)
  get('/money/members/:personId.csv', 'money.see-own', sendMemberStatement)
}

async function showMemberStatement(desk: Desk<'personId'>) {
  const { person, lines, closingMinor } = await statementFor(desk)
  const words = moneyWords(desk)
  const isOwn = person.id === desk.person.id
  // One that was taken back or moved stays among the lines; the heading tells what stands.
  const takenBack = new Set(lines.map(({ transfer }) => transfer.correctsId))
  const receipts = lines.filter(({ transfer }) => transfer.receiptNumber !== null && !takenBack.has(transfer.id))
  const receipt = receipts.at(-1)
  const charge = lines.findLast(({ transfer }) => transfer.kind === 'charge')
  return page(desk, 'fees/statement/page', {
    title: 'fees.statement.title',
    titleValues: { name: person.name },
    member: person,
    isOwn,
    isHeard: isOwn && (await canBeHeard(desk, [balanceSaid(closingMinor)])),
    asked: isOwn ? await moneyAsked(desk) : [],
    balance: words.balance(closingMinor),
    ownerAnswers: closingMinor > 0 && (await answeringOwners(desk)).has(person.id),
    lastReceipt: receipt ? statementLineShown(desk, receipt) : null,
    lastCharged: charge ? desk.format.date(charge.transfer.on) : null,
    lines: rowsInSheets(
      desk,
      'lines',
      lines.toReversed().map((line) => statementLineShown(desk, line)),
    ),
    counts: {
      charges: lines.filter(({ transfer }) => transfer.kind === 'charge' || transfer.kind === 'fine').length,
      receipts: receipts.length,
    },
  })
}

async function sendMemberStatement(desk: Desk<'personId'>) {
  const { person, lines } = await statementFor(desk)
  const { t } = desk
  const { cell, currency } = moneyWords(desk)
  const csv = writeCsv({
    columns: [
      t('fees.statement.date'),
      t('fees.statement.what'),
      t('fees.csv.volume'),
      t('fees.csv.charged', { currency }),
      t('fees.csv.paid', { currency }),
      t('fees.csv.balance', { currency }),
      t('fees.receipt.number'),
    ],
    rows: lines.map((line) => [
      line.transfer.on,
      line.what,
      line.volumeM3,
      cell(line.chargedMinor),
      cell(line.paidMinor),
      cell(line.balanceMinor),
      line.transfer.receiptNumber,
    ]),
  })
  return sendCsv(desk.reply, `statement-${person.number}`, csv)
}

async function statementFor(desk: Desk<'personId'>) {
  const { personId } = desk.params
  onlyMoneyOf(desk, personId)
  const person = found(await findPerson(desk.db, personId))
  const accountId = found(await memberAccount(desk.db, personId))
  return { person, ...(await accountLines(desk, accountId)) }
}
