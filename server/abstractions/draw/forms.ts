import type { Id } from '../../../domain/id.ts'
import type { Litres } from '../../../domain/units.ts'
import { checks, date, type Field, number, optional, select, text, tick, time, whole } from '../../web/forms/fields.ts'
import { defineForm, type Form, type ReadForm, readForm } from '../../web/forms/forms.ts'
import { SKIES, type Sky } from '../../works/flow-test/store.ts'
import { EVENTS, type Event } from './more-store.ts'
import { USES, type Way } from './types.ts'

export const UNITS = ['jerrycans', 'litres', 'm3'] as const

export const LARGEST_READING_M3 = 999_999_999

const reading = () => number({ min: 0, max: LARGEST_READING_M3 })
/** Read by eyes, or said not to have been: a figure that nobody looked at is no evidence. */
const start = () => ({ opening: optional(reading()), startUnread: tick() })
const runTime = () => optional(text({ max: 12 }))
const amount = () => number({ min: 0, max: 1_000_000 })
const seconds = () => number({ min: 0.1, max: 7200 }, 'filling of a container, seconds')

/** What is measured, by each way of measuring; it comes first, since the attendant stands at the pump with two numbers. */
const MEASURED: Record<Way, Record<string, Field>> = {
  meter: { ...start(), closing: reading() },
  replaced: {
    ...start(),
    oldLast: reading(),
    newFirst: reading(),
    newSerial: optional(text({ max: 40 })),
    newDigits: optional(whole({ min: 3, max: 9 })),
    closing: reading(),
  },
  hours: { hours: runTime() },
  bucket: {
    containerLitres: number({ min: 0.1, max: 5000 }, 'container, litres'),
    seconds1: seconds(),
    seconds2: optional(seconds()),
    seconds3: optional(seconds()),
    seconds4: optional(seconds()),
    hours: runTime(),
  },
  tank: {
    tankArea: number({ min: 0.01, max: 10_000 }, 'area of a tank, m2'),
    tankRise: number({ min: 0, max: 2000 }, 'level in a tank, cm'),
  },
  volume: { volume: amount(), unit: select() },
}

const WHERE = { place: select() }
const FOR_PLOT = { plotId: select() }
const ABOUT = {
  startTime: optional(time()),
  endTime: optional(time()),
  takerId: optional(select()),
  standIn: optional(text({ max: 60 })),
  sky: optional(select(SKIES)),
  events: checks(EVENTS),
  slipNo: optional(whole({ min: 1, max: 9_999_999 })),
  onDate: date(),
  remark: optional(text({ max: 200 })),
}
/** Whoever looked at a meter again may say that it was read right, whatever the pump is thought to give. */
const AS_READ = { asRead: tick() }
const CORRECTION = { reason: text({ max: 200 }), strike: tick() }

const { onDate, ...BESIDE } = ABOUT

/** One line of the pump log on paper: the fields of the screens, with the three usual ways to measure side by side. */
export const PumpLogForm = defineForm('abstractions.draw', {
  onDate,
  ...WHERE,
  use: optional(select(USES)),
  plotId: optional(FOR_PLOT.plotId),
  opening: optional(reading()),
  closing: optional(reading()),
  hours: runTime(),
  volume: optional(amount()),
  unit: optional(select()),
  ...BESIDE,
})

/** The slip that the taker keeps a copy of. */
export const SlipForm = defineForm('abstractions.draw', {
  slipNo: whole({ min: 1, max: 9_999_999 }),
  onDate,
  ...WHERE,
  ...FOR_PLOT,
  takerId: ABOUT.takerId,
  startTime: ABOUT.startTime,
  endTime: ABOUT.endTime,
  opening: optional(reading()),
  closing: optional(reading()),
  hours: runTime(),
  remark: ABOUT.remark,
})

/** What a form of a draw gives; which fields it has follows from its shape. */
export interface DrawData {
  opening?: number | null
  startUnread?: boolean
  closing?: number
  oldLast?: number
  newFirst?: number
  newSerial?: string | null
  newDigits?: number | null
  containerLitres?: Litres
  seconds1?: number
  seconds2?: number | null
  seconds3?: number | null
  seconds4?: number | null
  tankArea?: number
  /** In centimetres, as a stick reads. */
  tankRise?: number
  hours?: string | null
  volume?: number
  /** One of the usual units, or a vessel of the group by its name. */
  unit?: string
  place?: string
  plotId?: Id<'plot'>
  startTime: string | null
  endTime: string | null
  takerId: Id<'person'> | null
  standIn: string | null
  sky: Sky | null
  events: Event[]
  slipNo: number | null
  onDate: string
  remark: string | null
  asRead?: boolean
  reason?: string
  strike?: boolean
}

interface DrawShape {
  method: Way
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
    ...(corrects && (method === 'meter' || method === 'replaced') ? AS_READ : {}),
    ...(corrects ? CORRECTION : {}),
  })
}

/** Fields that a draw can do without while the attendant stands at the pump: they come after the button. */
export function laterFields(form: Form, method: Way): string[] {
  const clock = method === 'hours' || method === 'bucket' ? ['startTime', 'endTime'] : []
  return Object.keys(form.fields).filter((name) => name in ABOUT && !clock.includes(name))
}

export function readDraw(form: Form, body: unknown): ReadForm<DrawData> {
  return readForm(form, body) as ReadForm<unknown> as ReadForm<DrawData>
}
