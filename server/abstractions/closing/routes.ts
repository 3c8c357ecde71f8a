import { approvals, approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { addRegister } from '../../book/register/routes.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Values } from '../../web/figures/locale.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { correctedSince } from './correction-store.ts'
import { closingRegister, slipBookRegister } from './registers.ts'
import { type Gap, listClosings, slipBooks } from './store.ts'

/** The day and the week are closed by two names, with what is missing named beside them; slips come from numbered books. */
export function addLogClosingPages(pages: Pages): void {
  pages.get('/log/close', 'abstractions.see', showClosings)
  pages.post('/log/names/closing/:id', 'abstraction.log', writeSecondName)
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
    closings: await Promise.all(
      (await listClosings(db)).map(async (closing) => ({
        ...closing,
        second: names.get(closing.id)?.approverName ?? null,
        names: await namesShown(desk, closing.id),
        cash: closing.cashMinor === null ? null : money(closing.cashMinor),
        gaps: closing.found.map((gap) => gapWords(desk, gap)),
        since: corrected.get(closing.id) ?? [],
      })),
    ),
    books: await slipBooks(db),
    bookEnd: await endOfBook(db),
  })
}

async function writeSecondName(desk: Desk<'id'>) {
  const { db, params } = desk
  const closing = found((await listClosings(db)).find((one) => one.id === params.id))
  return write(
    desk,
    (pen) => approve(pen, closing.id),
    () => '/log/close',
  )
}

function gapWords({ t, format }: Desk, { code, values }: Gap): string {
  const shown: Values = typeof values.on === 'string' ? { ...values, on: format.date(values.on) } : values
  return t(`abstractions.gap.${code}`, shown)
}
