import { InputError } from '../../../domain/input-error.ts'
import { write, writePart } from '../../book/pen.ts'
import { cropList } from '../../crops/plan/paper.ts'
import { peopleList } from '../../people/person/paper.ts'
import { plotList } from '../../people/plot/paper.ts'
import { weirList } from '../../water/sand/paper.ts'
import { lines, optional } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, SURE, withError } from '../../web/forms/forms.ts'
import { listsOf, type SheetColumn, type SheetRow, typedRows } from '../../web/forms/sheet.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { columnsOf, type ManyList } from '../../web/pages/many.ts'
import { page } from '../../web/pages/page.ts'
import { outletList } from '../../works/flow-test/paper.ts'
import { type BadRow, sortRows } from '../typing/rows.ts'
import { asTyped, MOST_ROWS, rowsOf, wrongCells } from '../typing/typed.ts'

/** Where each is written one by one, with every line explained. */
const ONE_BY_ONE: Record<string, string> = {
  weirs: '/water/weirs/new',
  outlets: '/works/outlets/new',
  people: '/people/new',
  plots: '/people/plots/new',
  crops: '/crops/new',
}

/** What can be written in many at once, in the order in which each needs the one before. */
const MANY_LISTS: readonly ManyList[] = [weirList, outletList, peopleList, plotList, cropList]

/** All cells of the longest page. */
const MOST_FIELDS_OF_PAGE = 10_000
const ROOMS = [10, 40, 80] as const
/** Lines left free below those that come back. */
const SPARE_ROWS = 2

const ManyForm = defineForm('many', { pasted: optional(lines({ max: 100_000 })) })

/** People, plots, outlets, weirs and crops in many lines at once: good ones go in together, the others come back with what is wrong. */
export function addManyPages({ get, post }: Pages): void {
  get('/paper/many/:list', 'people.register', newLines)
  post('/paper/many/:list', 'people.register', writeLines, { mostFields: MOST_FIELDS_OF_PAGE })
}

async function newLines(desk: Desk<'list'>) {
  const list = writableOr403(desk)
  const room = ROOMS.find((rows) => String(rows) === desk.query.rows) ?? ROOMS[0]
  const said = { kept: Number(desk.query.kept) || 0, known: Number(desk.query.known) || 0 }
  return show(desk, {
    list,
    columns: await columnsOf(list, desk),
    filled: emptyForm(),
    rows: asTyped([], room),
    ...said,
  })
}

async function writeLines(desk: Desk<'list'>) {
  const list = writableOr403(desk)
  const columns = await columnsOf(list, desk)
  const body = (desk.body ?? {}) as Record<string, unknown>
  const typed = typedRows(columns, body, MOST_ROWS)
  const form = readForm(ManyForm, body)
  const again = (filled: Filled) =>
    show(desk, { list, columns, filled, rows: asTyped(typed, Math.max(typed.length + SPARE_ROWS, ROOMS[0])) })
  if (!form.ok) return again(form)
  const rows = rowsOf(columns, typed, { pasted: form.data.pasted, rowLabel: desk.t('paper.row') })
  if (rows instanceof InputError) return again(withError(form, 'pasted', `paper.${rows.code}`, rows.values))
  if (rows.length === 0) return again(withError(form, '', 'paper.nothing'))
  return keep(desk, { list, columns, rows })
}

/** Without bad lines the form is answered once and for all; with some it may come again, and finds what it brought in the book. */
async function keep(desk: Desk, { list, columns, rows }: { list: ManyList; columns: SheetColumn[]; rows: SheetRow[] }) {
  const marks = (await list.marks?.(desk)) ?? {}
  const { good, bad, known } = await sortRows(rows, {
    form: list.form,
    columns,
    marks,
    take: await list.rows(desk),
    written: [],
    sure: (desk.body as Record<string, unknown>)[SURE],
  })
  const writeAll = async (pen: Parameters<(typeof good)[number]['write']>[0]) => {
    for (const { write: writeRow } of good) await writeRow(pen)
  }
  const counts = { kept: good.length, known: known.length }
  if (bad.length === 0) {
    const answer = `/paper/many/${list.name}?kept=${counts.kept}&known=${counts.known}`
    return good.length > 0 ? write(desk, writeAll, () => answer) : desk.reply.redirect(answer, 303)
  }
  if (good.length > 0) await writePart(desk, writeAll)
  const errors = { '': { key: 'paper.some-bad', values: { count: bad.length } } }
  const last = bad.at(-1)!.row
  return show(desk, {
    list,
    columns,
    filled: { values: {}, errors },
    rows: asTyped(bad, last + SPARE_ROWS, bad),
    ...counts,
  })
}

interface Shown {
  list: ManyList
  columns: SheetColumn[]
  filled: Filled
  rows: BadRow[]
  kept?: number
  known?: number
}

async function show(desk: Desk, { list, columns, filled, rows, kept = 0, known = 0 }: Shown) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const marks = (await list.marks?.(desk)) ?? {}
  return page(desk, 'paper/many/many', {
    title: `many.title.${list.name}`,
    list: list.name,
    oneByOne: ONE_BY_ONE[list.name],
    form: ManyForm,
    columns,
    lists: listsOf(columns, marks),
    filled,
    rows: rows.map((row) => ({ ...row, wrong: wrongCells(row, columns) })),
    // Another page would not have what was typed on this one.
    longer: rows.some(({ cells }) => Object.keys(cells).length > 0) ? [] : ROOMS.filter((room) => room > rows.length),
    kept,
    known,
  })
}

function writableOr403({ params, may }: Desk<'list'>): ManyList {
  const list = found(MANY_LISTS.find(({ name }) => name === params.list))
  if (!may(list.permission)) throw new PageError(403, 'error.page-403')
  return list
}
