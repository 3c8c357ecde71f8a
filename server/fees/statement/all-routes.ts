import { statement } from '../../../domain/fees/ledger.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { sheetOf } from '../../web/figures/sheets.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { byAccount, listTransfers } from '../ledger/transfer-store.ts'
import { payersByNumber } from '../payer/options.ts'
import { linesOf } from './lines.ts'
import { statementLineShown } from './pages.ts'
import { statementParts } from './parts.ts'

/** So many that a season of them comes over a weak line in one go. */
const STATEMENTS_ON_A_SHEET = 30

/** The statements of all members: on the screen a list that leads to each, on paper a sheet for each. */
export function addAllStatementsPage({ get }: Pages): void {
  get('/money/members/all', 'money.see-all', showAllStatements)
}

async function showAllStatements(desk: Desk) {
  const words = moneyWords(desk)
  const ofAccount = byAccount(await listTransfers(desk.db))
  const people = (await payersByNumber(desk.db)).flatMap((payer) => {
    const { accountId } = payer
    const transfers = ofAccount.get(accountId)
    return transfers ? [{ ...payer, transfers, ...statement({ transfers, accountId }) }] : []
  })
  const { shown, ...sheet } = sheetOf(people, { asked: desk.query.sheet, size: STATEMENTS_ON_A_SHEET })
  // Only what stands on the sheet is told line by line.
  const parts = await statementParts(
    desk.db,
    shown.flatMap(({ transfers }) => transfers),
  )
  return page(desk, 'fees/statement/list', {
    title: 'report.all-statements-title',
    list: longList(
      desk,
      people.map(({ number, name, personId, lines, closingMinor }) => ({
        at: number,
        personId,
        words: name,
        small: desk.t('money.all-statements-lines', {
          count: lines.length,
          date: desk.format.date(lines.at(-1)!.on),
        }),
        figure: words.balanceInRow(closingMinor),
        href: `/money/members/${personId}`,
      })),
    ),
    sheet,
    sheets: shown.map(({ transfers, closingMinor, ...payer }) => ({
      ...payer,
      lines: linesOf(desk, { accountId: payer.accountId, transfers, parts }).lines.map((line) =>
        statementLineShown(desk, line),
      ),
      balance: words.balance(closingMinor),
    })),
  })
}
