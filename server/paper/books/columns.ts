import { type SheetColumn, sheetColumns } from '../../web/forms/sheet.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PaperBook } from '../../web/pages/paper-book.ts'

/** The columns of a book on paper, with the words that the group itself has named. */
export async function columnsOf(desk: Desk, book: PaperBook): Promise<SheetColumn[]> {
  const own = (await book.words?.(desk)) ?? {}
  return sheetColumns(book.sheet(desk), desk.t).map((column) => {
    const words = own[column.name]
    return words ? { ...column, kind: 'word', words: [...words] } : column
  })
}
