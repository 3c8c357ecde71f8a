import { moneyWords } from '../../web/figures/money-words.ts'
import { select } from '../../web/forms/fields.ts'
import { defineForm, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PaperBook, TakeRow } from '../../web/pages/paper-book.ts'
import { listReceiptBooks } from './book-store.ts'
import { paperReceiptForm } from './forms.ts'
import { paperReceiptOf } from './paper-store.ts'

/** A page of a receipt book: the receipt's own screen, with the book that it was torn from. */
function receiptPageForm(currency: string) {
  const { name, fields } = paperReceiptForm(currency)
  return defineForm(name, { bookId: select(), ...fields })
}

/** The receipt books on paper. */
export const cashBook: PaperBook = {
  name: 'cash-book',
  sheet: ({ request }) => ({ form: receiptPageForm(moneyWords(request.visit).currency), head: ['bookId', 'paidOn'] }),
  typing: { permission: 'payment.record', rows: receiptRows },
  seenBy: 'money.see-all',
}

/** A page of a paper receipt book typed in whole; each number keeps its own place in the book's series. */
async function receiptRows(desk: Desk): Promise<TakeRow> {
  const { db, request } = desk
  const books = await listReceiptBooks(db)
  const onPage = new Set<string>()
  return async (body) => {
    const form = readForm(receiptPageForm(moneyWords(request.visit).currency), body)
    if (!form.ok) return { ok: false, form }
    const { bookId, ...receipt } = form.data
    const book = books.find((one) => one.id === bookId)
    if (!book) return { ok: false, form: withError(form, 'bookId', 'error.choose') }
    const own = `${bookId} ${receipt.number}`
    if (onPage.has(own)) {
      const { number } = receipt
      return { ok: false, form: withError(form, 'number', 'receipt.paper-receipt.taken', { number }) }
    }
    const read = await paperReceiptOf(desk, receipt, book)
    if ('field' in read) return { ok: false, form: withError(form, read.field, read.key, read.values) }
    onPage.add(own)
    return { ok: true, write: async (pen) => String(await read.write(pen)) }
  }
}
