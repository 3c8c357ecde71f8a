import { moneyWords } from '../../web/figures/money-words.ts'
import { text, tick } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, type Form, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { mustStand } from '../correction-store.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { write } from '../pen.ts'
import { findLine, type Line, type LineTables, listLines } from './line-store.ts'
import { type Corrects, type Fields, type Register, readLine } from './register.ts'

/** How many lines of a register stand on one page. */
const MOST_LINES = 60
/** What of a line stands in the list. */
const FACTS_IN_LIST = 5

const CORRECTION = {
  strike: { ...tick(), words: 'works.strike' },
  reason: { ...text({ max: 200 }), words: 'works.reason' },
}

interface Lines<F extends Fields> {
  register: Register<F>
  tables: LineTables
}

/** What a register holds, line by line, and the correcting of a line by a new one that names it; both stay in the book. */
export function addLinePages<F extends Fields>({ get, post }: Pages, register: Register<F>, tables: LineTables): void {
  const { path } = tables
  const lines = { register, tables }
  get(path, 'abstractions.see', (desk) => showList(desk, lines))
  get(`${path}/:id`, 'abstractions.see', (desk) => showLine(desk, lines))
  get(`${path}/:id/correct`, register.permission, (desk) => newCorrection(desk, lines))
  post(`${path}/:id/correct`, register.permission, (desk) => writeCorrection(desk, lines))
}

async function showList<F extends Fields>(desk: Desk, { register, tables }: Lines<F>) {
  const { kind, back } = register
  const { path } = tables
  const asked = Number(desk.query.before)
  const before = Number.isInteger(asked) && asked > 0 ? asked : undefined
  const { lines, older } = await listLines(desk.db, { kind, tables, before, most: MOST_LINES })
  const told = await teller(desk, { register, tables })
  return page(desk, 'register/list', {
    title: `works.lines.${kind}`,
    register: path,
    lines: lines.map((line) => ({ ...line, words: inOneLine(told(line).slice(0, FACTS_IN_LIST)) })),
    older,
    back,
  })
}

async function showLine<F extends Fields>(desk: Desk<'id'>, { register, tables }: Lines<F>) {
  const { kind, back, permission } = register
  const { path } = tables
  const line = found(await findLine(desk.db, { kind, tables, id: desk.params.id }))
  const old = line.correctsId === null ? undefined : await findLine(desk.db, { kind, tables, id: line.correctsId })
  const told = await teller(desk, { register, tables })
  return page(desk, 'register/line', {
    title: `works.line.${kind}`,
    register: path,
    line,
    facts: told(line),
    back,
    permission,
    about: (await register.about?.(desk, line)) ?? null,
    old: old ? { ...old, words: inOneLine(told(old)) } : null,
  })
}

async function newCorrection<F extends Fields>(desk: Desk<'id'>, lines: Lines<F>) {
  const line = await standingOr409(desk, lines)
  const { currency } = moneyWords(desk.request.visit)
  return show(desk, lines, line, emptyForm(lines.tables.typed(line.rows, currency)))
}

async function writeCorrection<F extends Fields>(desk: Desk<'id'>, lines: Lines<F>) {
  const { register, tables } = lines
  const line = await standingOr409(desk, lines)
  const typed = readForm(correctionForm(desk, register), desk.body)
  if (typed.errors.reason) return show(desk, lines, line, typed)
  const corrects = { correctsId: line.id, reason: String(typed.values.reason) }
  const strikes = Boolean(typed.values.strike)
  const hindrance = strikes ? await tables.mayStrike?.(desk.db, line.id) : null
  if (hindrance) return show(desk, lines, line, { ...typed, errors: { strike: { key: hindrance, values: {} } } })
  const wanted = strikes
    ? { ok: true as const, write: strikingOut(register.kind, corrects) }
    : await readLine(register, desk.body, desk, corrects)
  if (!wanted.ok) return show(desk, lines, line, { ...wanted.form, values: typed.values })
  return write(
    desk,
    async (pen) => {
      await mustStand(pen.trx, line.id)
      await wanted.write(pen)
    },
    (id) => `${tables.path}/${strikes ? line.id : id}`,
  )
}

function strikingOut(kind: string, corrects: Corrects) {
  return (pen: Pen) => appendEntry(pen, { kind, ...corrects }, {})
}

function correctionForm<F extends Fields>(desk: Desk, register: Register<F>): Form {
  const { name, fields } = register.form(desk)
  return defineForm(name, { ...(fields as Fields), ...CORRECTION })
}

async function standingOr409<F extends Fields>(desk: Desk<'id'>, { register, tables }: Lines<F>): Promise<Line> {
  const line = found(await findLine(desk.db, { kind: register.kind, tables, id: desk.params.id }))
  await mustStand(desk.db, line.id)
  return line
}

async function show<F extends Fields>(desk: Desk, { register, tables }: Lines<F>, line: Line, filled: Filled) {
  return formPage(desk, {
    title: 'works.correct-title',
    form: correctionForm(desk, register),
    filled,
    options: await register.options(desk, { corrects: line.id }),
    action: `${tables.path}/${line.id}/correct`,
    intro: ['works.correct-how'],
    submit: 'works.correct-submit',
    back: `${tables.path}/${line.id}`,
  })
}

interface ToldFact {
  label: string
  value: string
}

function inOneLine(facts: readonly ToldFact[]): string {
  return facts.map(({ label, value }) => `${label}: ${value}`).join('; ')
}

/** Tells a line field by field, in the words of its form; empty fields are left out. */
async function teller<F extends Fields>(desk: Desk, { register, tables }: Lines<F>) {
  const { t, format } = desk
  const form = register.form(desk)
  const { currency, money } = moneyWords(desk.request.visit)
  const all = await register.options(desk, { everything: true })
  const { closed } = register
  const hidden = closed && !desk.may(closed.to) ? closed.fields : []
  return (line: Line): ToldFact[] => {
    const typed = tables.typed(line.rows, currency)
    return Object.entries(form.fields as Fields).flatMap(([name, field]) => {
      if (hidden.includes(name)) return []
      const value = [typed[name] ?? ''].flat().join(', ')
      return value === '' ? [] : [{ label: t(`${form.name}.${name}`), value: told(name, field, value) }]
    })
  }

  function told(name: string, field: Fields[string], value: string): string {
    if (field.control === 'date') return format.date(value)
    if (field.control === 'tick') return t('works.yes')
    if (field.control === 'number') return figure(field, value)
    if (field.control !== 'select') return value
    if (field.choices) return t(`${form.name}.${name}.${value}`)
    return all[name]?.find((option) => option.value === value)?.label ?? value
  }

  /** As on every page; a whole number may be that of a thing, which has no comma. */
  function figure({ isMoney, whole, schema }: Fields[string], value: string): string {
    if (isMoney) return money(schema.parse(value) as number)
    const isToTheThousandth = Math.abs(Number(value) - Number(Number(value).toFixed(3))) < 1e-9
    return !whole && isToTheThousandth ? format.toLitre(Number(value)) : value
  }
}
