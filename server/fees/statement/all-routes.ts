import { max } from 'd3-array'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { fromTo, groupsInSheets, sheetOf } from '../../web/figures/sheets.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { byAccount, listTransfers } from '../ledger/transfer-store.ts'
import { payersByNumber } from '../payer/options.ts'
import { linesOf } from './lines.ts'
import { statementLineShown } from './pages.ts'
import { statementParts } from './parts.ts'

/** So many lines come over a weak line in one go: some 7 kB. Own choice, no source. */
const LINES_ON_A_SHEET = 300

/** The statements of all members: on the screen a list that leads to each, on paper a sheet for each. */
export function addAllStatementsPage({ get }: Pages): void {
  get('/money/members/all', 'money.see-all', showAllStatements)
}

async function showAllStatements(desk: Desk) {
  const words = moneyWords(desk)
  const from = desk.group.seasonStartOn
  const ofAccount = byAccount(await listTransfers(desk.db))
  const people = (await payersByNumber(desk.db)).flatMap((payer) => {
    const { accountId } = payer
    const transfers = ofAccount.get(accountId)
    if (!transfers) return []
    const told = transfers.filter(({ on }) => on >= from)
    return [{ ...payer, transfers, told, owes: balanceOf({ transfers, accountId }) }]
  })
  // Who neither moved money this season nor owes any needs no paper.
  const printed = people.filter(({ told, owes }) => told.length > 0 || owes !== 0)
  const together = groupsInSheets(printed, ({ told }) => told.length + 1, LINES_ON_A_SHEET)
  const { shown: sheets, ...sheet } = sheetOf(together, { asked: desk.query.sheet, size: 1 })
  const shown = sheets.flat()
  // Only what stands on the sheet is told line by line.
  const parts = await statementParts(
    desk.db,
    shown.flatMap(({ told }) => told),
  )
  return page(desk, 'fees/statement/list', {
    title: 'report.all-statements-title',
    from: desk.format.date(from),
    list: longList(
      desk,
      people.map(({ number, name, personId, told, transfers, owes }) => ({
        at: number,
        personId,
        words: name,
        small: desk.t('money.all-statements-lines', {
          count: told.length,
          date: desk.format.date(max(transfers, ({ on }) => on)!),
        }),
        figure: words.balanceInRow(owes),
        href: `/money/members/${personId}`,
      })),
    ),
    sheet: { ...sheet, holds: fromTo(shown, ({ number, name }) => `${number} ${name}`) },
    sheets: shown.map(({ owes, transfers, ...payer }) => {
      const { openingMinor, lines } = linesOf(desk, { accountId: payer.accountId, transfers, parts, from })
      return {
        ...payer,
        balanceBefore: words.balanceInRow(openingMinor),
        lines: lines.map((line) => statementLineShown(desk, line)),
        balance: words.balance(owes),
      }
    }),
  })
}
