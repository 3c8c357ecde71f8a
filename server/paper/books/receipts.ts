import { listReceiptBooks } from '../../fees/receipt/book-store.ts'
import { paperReceiptForm } from '../../fees/receipt/forms.ts'
import { paperReceiptOf } from '../../fees/receipt/paper-store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { select } from '../../web/forms/fields.ts'
import { defineForm, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import type { TakeRow, Typing } from './types.ts'

/** A page of a receipt book: the receipt's own screen, with the book that it was torn from. */
export function receiptPageForm(currency: string) {
  const { name, fields } = paperReceiptForm(currency)
  return defineForm(name, { bookId: select(), ...fields })
}

/** A page of a paper receipt book typed in whole; each number keeps its own place in the book's series. */
export async function receiptRows({ db, request }: Typing): Promise<TakeRow> {
  const books = await listReceiptBooks(db)
  const { today, format, group } = request.visit
  const { timeZone } = found(group ?? undefined)
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
      return { ok: false, form: withError(form, 'number', 'money.paper-receipt.taken', { number }) }
    }
    const read = await paperReceiptOf({ db, today, format, timeZone }, receipt, book)
    if ('field' in read) return { ok: false, form: withError(form, read.field, read.key, read.values) }
    onPage.add(own)
    return { ok: true, write: async (pen) => String(await read.write(pen)) }
  }
}
