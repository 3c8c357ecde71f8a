import { columnHeading, entryHeading } from '../../web/figures/columns.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { type ListedTable, registerRows, registers } from './lists-store.ts'
import { registerWords } from './register-words.ts'

/** Out again: every register as a list that other programs open. */
export function addWholeBookPages({ get }: Pages): void {
  get('/book/files', 'book.export', showLists)
  get('/book/files/:table', 'book.export', sendList)
}

async function showLists(desk: Desk) {
  const lists = (await listsFor(desk)).map(({ table, name }) => ({
    name,
    words: registerWords(desk, table) ?? desk.t(`paper.print.list.${table}`),
  }))
  return page(desk, 'paper/whole-book/lists', {
    title: 'abstractions.out.title',
    lists: lists.toSorted((a, b) => a.words.localeCompare(b.words, desk.locale.language)),
  })
}

async function sendList(desk: Desk<'table'>) {
  const asked = desk.params.table.replace(/\.csv$/, '')
  const { table, name } = found((await listsFor(desk)).find((one) => one.name === asked))
  const { own, ofEntry, rows } = await registerRows(desk.db, table)
  const words = { t: desk.t, has: desk.locale.has }
  const columns = [
    ...own.map((column) => columnHeading(words, table, column)),
    ...ofEntry.map((column) => entryHeading(words, column)),
  ]
  return sendCsv(desk.reply, name, writeCsv({ columns, rows }))
}

async function listsFor({ db, may }: Desk): Promise<ListedTable[]> {
  return (await registers(db)).filter(({ open }) => open || may('money.see-all'))
}
