import { ascending } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Permission } from '../../../domain/people/permissions.ts'
import { listAbstractions } from '../../abstractions/draw/store.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { turnsBetween } from '../../rotation/published/listed-store.ts'
import { listReadings } from '../../water/level/store.ts'
import { weatherDays } from '../../water/weather/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import type { Cell } from '../../web/figures/csv.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Visit } from '../../web/pages/page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { pumpReadings, tankDays } from '../../works/tank/store.ts'

export interface Span {
  fromOn: CalendarDate
  toOn: CalendarDate
}
export interface PrintedBook {
  name: string
  title: string
  /** Whose rows it prints whole. */
  tables: readonly (keyof FactTables)[]
  /** Where not everybody who may look at the log may see it. */
  needs?: Permission
  /** Headings by their keys. */
  heads: readonly string[]
  rows: (db: Database, visit: Visit, span: Span) => Promise<Cell[][]>
  /** How rows are told where that is too long a work for more than a part of the book at once. */
  shown?: (desk: Desk, rows: Cell[][]) => Promise<Cell[][]>
}

const ofDraw = (name: string) => `abstractions.draw.${name}`

export const levels: PrintedBook = {
  name: 'levels',
  tables: ['levelReading'],
  title: 'paper.book.levels',
  heads: [
    ...['water.level.readOn', 'water.level.readAt', 'water.level.weirId', 'water.level.depth-short'],
    ...['water.level.readerId', 'water.level.remark'],
  ],
  rows: async (db, { format }, span) => {
    const weirs = new Map((await listWeirs(db)).map((weir) => [weir.id, weir.name]))
    return (await listReadings(db, span)).map((one) => [
      ...[format.date(one.readOn), one.readAt, weirs.get(one.weirId) ?? '', format.one(one.depthCm)],
      ...[one.readerName, one.remark],
    ])
  },
}

export const weather: PrintedBook = {
  name: 'weather',
  tables: ['weatherDay'],
  title: 'paper.book.weather',
  heads: ['crops.weather.onDate', 'crops.weather.tmaxC', 'crops.weather.tminC', 'crops.weather.rainMm'],
  rows: async (db, { format }, span) => {
    const figure = (value: number | null) => (value === null ? '' : format.one(value))
    return (await weatherDays(db, span)).map((day) => {
      return [format.date(day.onDate), figure(day.tmaxC), figure(day.tminC), figure(day.rainMm)]
    })
  },
}

export const pumpLog: PrintedBook = {
  name: 'pump-log',
  tables: ['abstraction'],
  title: 'paper.book.pump-log',
  heads: [
    ...['onDate', 'startTime', 'endTime', 'use'].map(ofDraw),
    ...['paper.print.outlet', 'paper.print.plot'],
    ...['takerId', 'opening', 'closing'].map(ofDraw),
    ...['paper.print.volume', 'paper.print.grade', 'abstractions.draw.remark'],
  ],
  rows: async (db, { locale, format }, span) => {
    const reading = (value: number | null) => (value === null ? '' : format.toLitre(value))
    return (await listAbstractions(db, span)).map((draw) => [
      ...[format.date(draw.onDate), draw.startTime, draw.endTime, locale.t(`abstractions.use.${draw.use}`)],
      ...[draw.outletNumber, draw.plotNumber, draw.takerName, reading(draw.openingM3), reading(draw.closingM3)],
      ...[reading(draw.volumeM3), locale.t(`abstractions.grade.${draw.grade}`), draw.remark],
    ])
  },
}

export const pumpMeters: PrintedBook = {
  name: 'pump-readings',
  tables: ['pumpDayReading'],
  title: 'paper.book.pump-readings',
  heads: [
    ...['abstractions.pump-reading.onDate', 'abstractions.pump-reading.atTime', 'abstractions.pump-reading.pumpId'],
    ...['abstractions.pump-reading.moment', 'abstractions.pump-reading.meter', 'abstractions.pump-reading.hourMeter'],
  ],
  rows: async (db, { locale, format }, span) => {
    const pumps = new Map((await listPumps(db, span.toOn)).map((pump) => [pump.id, pump.number]))
    return (await pumpReadings(db, span)).map(({ on, atTime, pumpId, moment, reading, hourMeterH }) => [
      ...[format.date(on), atTime, pumps.get(pumpId) ?? '', locale.t(`abstractions.pump-reading.moment.${moment}`)],
      ...[format.toLitre(reading), hourMeterH === null ? '' : format.one(hourMeterH)],
    ])
  },
}

export const tanks: PrintedBook = {
  name: 'tanks',
  tables: ['tankReading', 'tankDay'],
  title: 'paper.book.tanks',
  heads: [
    ...['paper.tank-day.onDate', 'paper.tank-day.tankId', 'paper.tank-day.morning', 'paper.tank-day.evening'],
    ...['paper.tank-day.filled', 'paper.tank-day.animals', 'paper.tank-day.remark'],
  ],
  rows: async (db, { format }, { fromOn, toOn }) => {
    const figure = (value: number | null, scale = 1) => (value === null ? '' : format.toLitre(value * scale))
    const days = (await tankDays(db, { fromOn, toOn })).toSorted((a, b) => ascending(a.onDate, b.onDate))
    return days.map((day) => [
      ...[format.date(day.onDate), `${day.tankNumber} ${day.tankName}`],
      ...[figure(day.morningM, 100), figure(day.eveningM, 100), figure(day.filledM3), day.animals, day.remark],
    ])
  },
}

export const turns: PrintedBook = {
  name: 'turns',
  tables: ['turn'],
  title: 'paper.print.turns',
  heads: [
    ...['onDate', 'startTime', 'endTime'].map(ofDraw),
    ...['paper.print.plot', 'paper.print.outlet', 'abstractions.pumps.pump', 'paper.print.volume'],
  ],
  rows: async (db, { format }, span) =>
    (await turnsBetween(db, span)).map((turn) => [
      ...[format.date(turn.onDate), format.clock(turn.startMinute), format.clock(turn.endMinute)],
      ...[turn.plotNumber, turn.outletNumber, turn.pumpNumber, format.toLitre(turn.volumeM3)],
    ]),
}
