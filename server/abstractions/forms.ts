import { date, type Field, number, optional, select, text, tick, time } from '../web/fields.ts'
import { defineForm, type Form, type ReadForm, readForm } from '../web/forms.ts'
import type { Measure } from './abstraction-store.ts'

export const UNITS = ['jerrycans', 'litres', 'm3'] as const
export type Unit = (typeof UNITS)[number]

const LARGEST_READING_M3 = 999_999_999

/** What is measured, by each way of measuring; it comes first, since the attendant stands at the pump with two numbers. */
const MEASURED: Record<Measure, Record<string, Field>> = {
  meter: {
    opening: number({ min: 0, max: LARGEST_READING_M3 }),
    closing: number({ min: 0, max: LARGEST_READING_M3 }),
  },
  hours: { hours: optional(text({ max: 12 })) },
  volume: { volume: number({ min: 0, max: 1_000_000 }), unit: select(UNITS) },
}

const WHERE = { place: select() }
const FOR_PLOT = { plotId: select() }
const ABOUT = {
  startTime: optional(time()),
  endTime: optional(time()),
  takerId: optional(select()),
  onDate: date(),
  remark: optional(text({ max: 200 })),
}
/** Whoever looked at a meter again may say that it was read right, whatever the pump is thought to give. */
const AS_READ = { asRead: tick() }
const CORRECTION = { reason: text({ max: 200 }), strike: tick() }

/** What a form of a draw gives; which fields it has follows from its shape. */
export interface DrawData {
  opening?: number
  closing?: number
  hours?: string | null
  volume?: number
  unit?: Unit
  place?: string
  plotId?: string
  startTime: string | null
  endTime: string | null
  takerId: string | null
  onDate: string
  remark: string | null
  asRead?: boolean
  reason?: string
  strike?: boolean
}

export interface DrawShape {
  method: Measure
  /** A turn brings its outlet and plot along. */
  ofTurn: boolean
  forPlot: boolean
  corrects: boolean
}

/** The form of one draw. One definition serves a turn, a line of its own, and the correction of either. */
export function drawForm({ method, ofTurn, forPlot, corrects }: DrawShape): Form {
  return defineForm('abstractions.draw', {
    ...(ofTurn ? {} : WHERE),
    ...(!ofTurn && forPlot ? FOR_PLOT : {}),
    ...MEASURED[method],
    ...ABOUT,
    ...(corrects && method === 'meter' ? AS_READ : {}),
    ...(corrects ? CORRECTION : {}),
  })
}

export function readDraw(form: Form, body: unknown): ReadForm<DrawData> {
  return readForm(form, body) as ReadForm<unknown> as ReadForm<DrawData>
}
