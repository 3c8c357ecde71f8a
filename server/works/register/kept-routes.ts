import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { correctionOf } from '../../abstractions/correction/store.ts'
import { appendEntry } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { text, tick } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, type Form, readForm } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { findKept, type KeptLine, listKept } from './kept-store.ts'
import { type Fields, type Register, registerLine } from './line.ts'
import { EVERY_FAULT, optionsOf } from './options.ts'

/** How many lines of a register stand on one page. */
const MOST_LINES = 60

const CORRECTION = {
  strike: { ...tick(), words: 'works.strike' },
  reason: { ...text({ max: 200 }), words: 'works.reason' },
}

type WithEntry = { Params: { id: string } }

/** What a register holds, line by line, and the correcting of a line by a new one that names it; both stay in the book. */
export function addKeptRoutes<F extends Fields>(app: FastifyInstance, parts: Parts, register: Register<F>): void {
  addLookingRoutes(app, parts, register)
  addCorrectingRoutes(app, parts, register)
}

function addLookingRoutes<F extends Fields>(app: FastifyInstance, { db }: Parts, register: Register<F>): void {
  const keeping = register.kept!
  const { path, kind } = register
  const place = path.slice(app.prefix.length)

  app.get<{ Querystring: { before?: string } }>(
    `${place}/written`,
    { preHandler: may('abstractions.see') },
    async (request, reply) => {
      const asked = Number(request.query.before)
      const before = Number.isInteger(asked) && asked > 0 ? asked : undefined
      const { lines, older } = await listKept(db, { kind, keeping, before, most: MOST_LINES })
      const told = await teller(db, request, register)
      const shown = lines.map((line) => ({ ...line, facts: told(line) }))
      return page({ request, reply }, 'works/register/list', {
        title: `works.lines.${kind}`,
        ...{ register: path, lines: shown, older, back: register.back },
      })
    },
  )

  app.get<WithEntry>(`${place}/:id`, { preHandler: may('abstractions.see') }, async (request, reply) => {
    const line = found(await findKept(db, kind, keeping, request.params.id))
    const old = line.correctsId === null ? undefined : await findKept(db, kind, keeping, line.correctsId)
    const told = await teller(db, request, register)
    return page({ request, reply }, 'works/register/line', {
      title: `works.line.${kind}`,
      ...{ register: path, line, facts: told(line), back: register.back, permission: register.permission },
      old: old ? { ...old, facts: told(old) } : null,
    })
  })
}

function addCorrectingRoutes<F extends Fields>(app: FastifyInstance, { db, now }: Parts, register: Register<F>): void {
  const keeping = register.kept!
  const { path, kind } = register
  const place = path.slice(app.prefix.length)
  const guard = { preHandler: may(register.permission) }

  app.get<WithEntry>(`${place}/:id/corrections/new`, guard, async (request, reply) => {
    const line = await standingOr409(request)
    return show(request, reply, line, emptyForm(typedOf(request, line)))
  })

  app.post<WithEntry>(`${place}/:id/corrections`, guard, async (request, reply) => {
    const line = await standingOr409(request)
    const at = now()
    const typed = readForm(formOf(request), request.body)
    if (typed.errors.reason) return show(request, reply, line, typed)
    const corrects = { correctsId: line.id, reason: String(typed.values.reason) }
    const hindrance = typed.values.strike ? await keeping.mayStrike?.(line.id) : null
    if (hindrance) return show(request, reply, line, { ...typed, errors: { strike: { key: hindrance, values: {} } } })
    const wanted = typed.values.strike
      ? { ok: true as const, write: struck(corrects) }
      : await registerLine(register, request.body, { request, at, corrects })
    if (!wanted.ok) return show(request, reply, line, { ...wanted.form, values: typed.values })
    return write(
      { db, request, reply, at },
      async (pen) => {
        await mustStand(pen.trx, line.id)
        await wanted.write(pen)
      },
      (id) => `${path}/${typed.values.strike ? line.id : id}`,
    )
  })

  function struck(corrects: { correctsId: string; reason: string }) {
    return (pen: Parameters<typeof appendEntry>[0]) => appendEntry(pen, { kind, ...corrects }, {})
  }

  function formOf(request: FastifyRequest): Form {
    const { name, fields } = register.form(request)
    return defineForm(name, { ...(fields as Fields), ...CORRECTION })
  }

  function typedOf(request: FastifyRequest, line: KeptLine) {
    return keeping.typed(line.rows, moneyWords(request.visit).currency)
  }

  async function standingOr409(request: FastifyRequest): Promise<KeptLine> {
    const line = found(await findKept(db, kind, keeping, (request.params as { id: string }).id))
    await mustStand(db, line.id)
    return line
  }

  async function show(request: FastifyRequest, reply: FastifyReply, line: KeptLine, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'works.correct-title',
        form: formOf(request),
        filled,
        options: await optionsOf(db, request, line.id),
        action: `${path}/${line.id}/corrections`,
        intro: ['works.correct-how'],
        submit: 'works.correct-submit',
        back: `${path}/${line.id}`,
      },
    )
  }
}

/** Asked once more while writing, so that two corrections sent at the same moment do not both count. */
async function mustStand(db: Database, id: string): Promise<void> {
  if (await correctionOf(db, id)) throw new PageError(409, 'abstractions.correction.already')
}

interface ToldFact {
  label: string
  value: string
}

/** Tells a line field by field, in the words of its form; empty fields are left out. */
async function teller<F extends Fields>(db: Database, request: FastifyRequest, register: Register<F>) {
  const form = register.form(request)
  const { locale, format } = request.visit
  const { currency } = moneyWords(request.visit)
  const all = await optionsOf(db, request, EVERY_FAULT)
  return (line: KeptLine): ToldFact[] => {
    const typed = register.kept!.typed(line.rows, currency)
    return Object.entries(form.fields as Fields).flatMap(([name, field]) => {
      const value = [typed[name] ?? ''].flat().join(', ')
      if (value === '') return []
      return [{ label: locale.t(`${form.name}.${name}`), value: told(name, field, value) }]
    })
  }

  function told(name: string, field: Fields[string], value: string): string {
    if (field.control === 'date') return format.date(value)
    if (field.control === 'tick') return locale.t('works.yes')
    if (field.control !== 'select') return value
    if (field.choices) return locale.t(`${form.name}.${name}.${value}`)
    return all[name]?.find((option) => option.value === value)?.label ?? value
  }
}
