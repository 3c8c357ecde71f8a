import type { FastifyRequest } from 'fastify'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { PumpLogForm, SlipForm } from '../../abstractions/draw/forms.ts'
import { WeatherForm } from '../../crops/forms.ts'
import { LevelForm } from '../../water/level/forms.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Form } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { BucketTestForm, flowTestRegister } from '../../works/flow-test/routes.ts'
import { PumpReadingForm, pumpReadingRegister } from '../../works/pump/reading-routes.ts'
import { levelRows } from './levels.ts'
import { pumpLogRows } from './pump-log.ts'
import { receiptPageForm, receiptRows } from './receipts.ts'
import { rowsOfRegister } from './register.ts'
import { PaperRequestForm, requestRows } from './requests.ts'
import { plannedSlips, slipRows } from './slips.ts'
import { TankDayForm, tankRows } from './tanks.ts'
import type { PaperBook } from './types.ts'
import { weatherRows } from './weather.ts'

const currency = (request: FastifyRequest) => moneyWords(request.visit).currency

/** Every book that the group keeps on paper, printed and typed in by the forms of the screens. */
export const PAPER_BOOKS: readonly PaperBook[] = [
  {
    name: 'pump-log',
    form: () => PumpLogForm,
    carried: ['onDate', 'place'],
    typing: { permission: 'abstraction.log', rows: pumpLogRows },
  },
  {
    name: 'slips',
    form: () => SlipForm,
    carried: ['onDate', 'place'],
    planned: { columns: ['onDate', 'place', 'plotId'], rows: plannedSlips },
    typing: { permission: 'abstraction.log', rows: slipRows },
  },
  {
    name: 'pump-readings',
    form: () => PumpReadingForm,
    carried: ['onDate', 'pumpId'],
    typing: { permission: 'abstraction.log', rows: rowsOfRegister(() => pumpReadingRegister()) },
  },
  {
    name: 'tanks',
    form: () => TankDayForm,
    carried: ['onDate', 'tankId'],
    typing: { permission: 'abstraction.log', rows: tankRows },
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
  {
    name: 'flow-tests',
    form: () => BucketTestForm,
    carried: ['onDate', 'outletId', 'containerLitres'],
    typing: { permission: 'abstraction.log', rows: rowsOfRegister(({ db }) => flowTestRegister(db)) },
  },
  {
    name: 'requests',
    form: () => PaperRequestForm,
    carried: ['askedOn', 'weekStartOn'],
    typing: { permission: 'abstraction.log', rows: requestRows },
  },
  {
    name: 'cash-book',
    form: (request) => receiptPageForm(currency(request)),
    carried: ['bookId', 'paidOn'],
    typing: { permission: 'payment.record', rows: receiptRows },
    seenBy: 'money.see-all',
  },
]

export function formOfBook({ form, without = [] }: PaperBook, request: FastifyRequest): Form {
  const { name, fields } = form(request)
  return { name, fields: Object.fromEntries(Object.entries(fields).filter(([field]) => !without.includes(field))) }
}

export function bookOr404(name: string): PaperBook {
  return found(PAPER_BOOKS.find((book) => book.name === name))
}

export function mayType(request: FastifyRequest, { typing }: PaperBook): boolean {
  return mayDo({ roles: request.person?.roles ?? [], permission: typing.permission })
}

export function maySeePages(request: FastifyRequest, { seenBy = 'abstractions.see' }: PaperBook): boolean {
  return mayDo({ roles: request.person?.roles ?? [], permission: seenBy })
}
