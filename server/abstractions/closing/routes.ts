import { approvals, approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import { addRegister } from '../../book/register/routes.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Values } from '../../web/figures/locale.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { correctedSince } from './correction-store.ts'
import { closingRegister, slipBookRegister } from './registers.ts'
import { type Gap, listClosings, slipBooks } from './store.ts'

/** The day and the week are closed by two names, with what is missing named beside them; slips come from numbered books. */
export function addLogClosingPages(pages: Pages): void {
  pages.get('/closings', 'abstractions.see', showClosings)
  pages.post('/closings/:id/second-name', 'abstraction.log', writeSecondName)
  addRegister(pages, closingRegister)
  addRegister(pages, slipBookRegister)
}

async function showClosings(desk: Desk) {
  const { db } = desk
  const names = await approvals(db)
  const corrected = await correctedSince(db)
  const { money } = moneyWords(desk.request.visit)
  return page(desk, 'abstractions/closings', {
    title: 'abstractions.closings.title',
    closings: (await listClosings(db)).map((closing) => ({
      ...closing,
      second: names.get(closing.id)?.approverName ?? null,
      cash: closing.cashMinor === null ? null : money(closing.cashMinor),
      gaps: closing.found.map((gap) => gapWords(desk, gap)),
      since: corrected.get(closing.id) ?? [],
    })),
    books: await slipBooks(db),
    bookEnd: await endOfBook(db),
  })
}

async function writeSecondName(desk: Desk<'id'>) {
  const { db, params } = desk
  const closing = found((await listClosings(db)).find((one) => one.id === params.id))
  if ((await approvals(db)).has(closing.id)) throw new PageError(409, 'error.page-409')
  return write(
    desk,
    (pen) => approve(pen, closing.id),
    () => '/log/closings',
  )
}

function gapWords({ t, format }: Desk, { code, values }: Gap): string {
  const shown: Values = typeof values.on === 'string' ? { ...values, on: format.date(values.on) } : values
  return t(`abstractions.gap.${code}`, shown)
}
