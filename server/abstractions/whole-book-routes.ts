import type { FastifyInstance, FastifyRequest } from 'fastify'
import { may as mayDo } from '../../domain/people/permissions.ts'
import type { Parts } from '../app.ts'
import { weatherDays } from '../crops/weather-store.ts'
import { currentGroup } from '../people/group-store.ts'
import { listReadings } from '../water/level-store.ts'
import { listWeirs } from '../water/weir-store.ts'
import { type Cell, sendCsv, writeCsv } from '../web/csv.ts'
import { found } from '../web/errors.ts'
import { may } from '../web/guard.ts'
import { page } from '../web/page.ts'
import { listAbstractions } from './abstraction-store.ts'
import { listFaults } from './fault-store.ts'
import { type Register, registerRows, registers } from './whole-book.ts'

/** Out again: every register as a list that other programs open, and the water side of the season as one printed book. */
export function addWholeBookRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('book.export') }

  app.get('/book/lists', guard, async (request, reply) => {
    const lists = (await registers(db)).filter((one) => maySee(request, one))
    return page(request, reply, 'abstractions/lists', { title: 'abstractions.out.title', lists })
  })

  app.get<{ Params: { table: string } }>('/book/lists/:table', guard, async (request, reply) => {
    const name = request.params.table.replace(/\.csv$/, '')
    const list = found((await registers(db)).find((one) => one.table === name && maySee(request, one)))
    return sendCsv(reply, list.table, writeCsv(await registerRows(db, list.table)))
  })

  app.get('/book/print', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const span = { fromOn: group.seasonStartOn, toOn: [group.seasonEndOn, request.visit.today].toSorted()[0]! }
    return page(request, reply, 'abstractions/book-print', {
      title: 'abstractions.out.print-title',
      titleValues: { name: group.name },
      ...span,
      books: [
        await levels(request, span),
        await weather(request, span),
        await log(request, span),
        await faults(request),
      ],
    })
  })

  type Span = { fromOn: string; toOn: string }

  async function levels({ visit: { locale, format } }: FastifyRequest, span: Span): Promise<Printed> {
    const weirs = new Map((await listWeirs(db)).map((weir) => [weir.id, weir.name]))
    const rows = (await listReadings(db, span)).map((one) => [
      ...[format.date(one.readOn), one.readAt, weirs.get(one.weirId) ?? '', format.one(one.depthCm)],
      ...[one.readerName, one.remark],
    ])
    const heads = ['water.level.readOn', 'water.level.readAt', 'water.level.weirId', 'water.level.depth-short']
    const columns = [...heads, 'water.level.readerId', 'water.level.remark'].map((key) => locale.t(key))
    return { name: 'paper.book.levels', columns, rows }
  }

  async function weather({ visit: { locale, format } }: FastifyRequest, span: Span): Promise<Printed> {
    const figure = (value: number | null) => (value === null ? '' : format.one(value))
    const rows = (await weatherDays(db, span)).map((day) => {
      return [format.date(day.onDate), figure(day.tmaxC), figure(day.tminC), figure(day.rainMm)]
    })
    const heads = ['crops.weather.onDate', 'crops.weather.tmaxC', 'crops.weather.tminC', 'crops.weather.rainMm']
    return { name: 'paper.book.weather', columns: heads.map((key) => locale.t(key)), rows }
  }

  async function log({ visit: { locale, format } }: FastifyRequest, span: Span): Promise<Printed> {
    const reading = (value: number | null) => (value === null ? '' : format.toLitre(value))
    const rows = (await listAbstractions(db, span)).map((draw) => [
      ...[format.date(draw.onDate), draw.startTime, draw.endTime, locale.t(`abstractions.use.${draw.use}`)],
      ...[draw.outletNumber, draw.plotNumber, draw.takerName, reading(draw.openingM3), reading(draw.closingM3)],
      ...[reading(draw.volumeM3), locale.t(`abstractions.grade.${draw.grade}`), draw.remark],
    ])
    const heads = [
      'on',
      'start',
      'end',
      'use',
      'outlet',
      'plot',
      'taker',
      'opening-reading',
      'closing-reading',
      'volume',
    ]
    const columns = [...heads, 'grade', 'remark'].map((key) => locale.t(`abstractions.csv.${key}`))
    return { name: 'paper.book.pump-log', columns, rows }
  }

  async function faults({ visit: { locale, format } }: FastifyRequest): Promise<Printed> {
    const rows = (await listFaults(db)).map(({ foundOn, pumpNumber, what, fix }) => [
      ...[format.date(foundOn), pumpNumber, what, fix ? format.date(fix.fixedOn) : '', fix?.cause ?? ''],
      fix ? format.one(fix.daysLost) : '',
    ])
    const heads = ['faults.found', 'pumps.pump', 'faults.what', 'fault-fix.onDate', 'fault-fix.cause', 'faults.days']
    return { name: 'abstractions.faults.title', columns: heads.map((key) => locale.t(`abstractions.${key}`)), rows }
  }
}

interface Printed {
  name: string
  columns: string[]
  rows: Cell[][]
}

function maySee({ person }: FastifyRequest, { open }: Register): boolean {
  return open || mayDo({ roles: person?.roles ?? [], permission: 'money.see-all' })
}
