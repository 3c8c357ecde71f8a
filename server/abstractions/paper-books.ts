import type { FastifyRequest } from 'fastify'
import { may as mayDo, type Permission } from '../../domain/people/permissions.ts'
import { WeatherForm } from '../crops/forms.ts'
import type { Database } from '../database/connection.ts'
import type { Pen } from '../database/entries.ts'
import { moneyWords } from '../fees/money-words.ts'
import { paperReceiptForm } from '../fees/treasury-forms.ts'
import { listPersons } from '../people/person-store.ts'
import { listPlots } from '../people/plot-store.ts'
import { listOutlets } from '../people/works-store.ts'
import { RequestForm } from '../rotation/forms.ts'
import { LevelForm } from '../water/forms.ts'
import { found } from '../web/errors.ts'
import type { Filled, Form } from '../web/forms.ts'
import type { Mark, Marks } from '../web/paper.ts'
import { PumpLogForm, SlipForm } from './forms.ts'
import { levelRows } from './paper-levels.ts'
import { pumpLogRows } from './paper-pump-log.ts'
import { weatherRows } from './paper-weather.ts'
import { worksOn } from './places.ts'

/** A row that can be written, or the form with what must be mended. */
export type TakenRow = { ok: true; write: (pen: Pen) => Promise<string> } | { ok: false; form: Filled }
export type TakeRow = (body: Record<string, unknown>) => Promise<TakenRow>

export interface Typing {
  db: Database
  request: FastifyRequest
  at: Date
}

export interface PaperBook {
  name: string
  form: (request: FastifyRequest) => Form
  /** Columns that are carried down when they are left empty. */
  carried: readonly string[]
  /** Fields of the screen that paper has no column for. */
  without?: readonly string[]
  /** Reads the rows of one page, each after the one above it; a book without it is only printed. */
  typing?: { permission: Permission; rows: (typing: Typing) => Promise<TakeRow> }
}

const currency = (request: FastifyRequest) => moneyWords(request.visit).currency

/** Every book that the group keeps on paper, printed from the forms of the screens. */
export const PAPER_BOOKS: readonly PaperBook[] = [
  {
    name: 'pump-log',
    form: () => PumpLogForm,
    carried: ['onDate', 'place'],
    typing: { permission: 'abstraction.log', rows: pumpLogRows },
  },
  {
    name: 'levels',
    form: () => LevelForm,
    carried: ['readOn', 'weirId'],
    typing: { permission: 'level.record', rows: levelRows },
  },
  {
    name: 'weather',
    form: () => WeatherForm,
    carried: [],
    without: ['reason'],
    typing: { permission: 'weather.record', rows: weatherRows },
  },
  { name: 'slips', form: () => SlipForm, carried: [] },
  { name: 'requests', form: () => RequestForm, carried: [] },
  { name: 'cash-book', form: (request) => paperReceiptForm(currency(request)), carried: [] },
]

export function formOfBook({ form, without = [] }: PaperBook, request: FastifyRequest): Form {
  const { name, fields } = form(request)
  return { name, fields: Object.fromEntries(Object.entries(fields).filter(([field]) => !without.includes(field))) }
}

/** The numbers on the plates: an outlet by its own, a pump with P before it, a weir that is drawn by hand with W. */
export async function marksOf(db: Database, request: FastifyRequest): Promise<Marks> {
  const { today, locale } = request.visit
  const { weirs, pumps, outlets } = await worksOn(db, today)
  const plain = (prefix = '', kind = '') => {
    return ({ id, number, name }: { id: string; number: number; name: string }): Mark => ({
      value: `${kind}${id}`,
      mark: `${prefix}${number}`,
      label: name,
    })
  }
  const persons = (await listPersons(db)).map(plain())
  const place = [
    ...outlets.map(plain('', 'outlet:')),
    ...pumps.map(plain('P', 'pump:')).map((one) => ({ ...one, label: locale.t('paper.at-pump', { name: one.label }) })),
    ...weirs.map(plain('W', 'weir:')).map((one) => ({ ...one, label: locale.t('paper.by-hand', { name: one.label }) })),
  ]
  return {
    ...{ place, takerId: persons, readerId: persons, payerId: persons },
    plotId: (await listPlots(db, today)).map(plain()),
    outletId: (await listOutlets(db, today)).map(plain()),
    pumpId: pumps.map(plain()),
    weirId: weirs.map(plain()),
  }
}

export function bookOr404(name: string): PaperBook {
  return found(PAPER_BOOKS.find((book) => book.name === name))
}

export function mayType(request: FastifyRequest, { typing }: PaperBook): boolean {
  return typing !== undefined && mayDo({ roles: request.person?.roles ?? [], permission: typing.permission })
}
