import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { FactTables } from '../../database/schema.ts'
import type { ClashKind } from './clash-kinds.ts'

type Row = Record<string, unknown>
/** Two rows with the same values in these columns clash, unless both tell a span and the spans do not meet. */
export interface Rule {
  kind: ClashKind
  /** Rows of several tables clash with each other under one name; else only those of one table. */
  as?: string
  by: readonly string[]
  span?: (row: Row) => Span | null
  /** Only rows of which this is true. */
  where?: (row: Row) => boolean
  /** Not for rows of an entry that has one in this table. */
  not?: keyof FactTables
}
export type Span = readonly [from: number | string, to: number | string]

/** Draws without both clock times may have been at the same time, so they are shown too. */
export const clockSpan = ({ startTime, endTime }: Row): Span | null =>
  startTime && endTime ? [String(startTime), String(endTime)] : null
export const minuteSpan = ({ startMinute, endMinute }: Row): Span => [Number(startMinute), Number(endMinute)]
export const meterSpan = ({ openingM3, closingM3 }: Row): Span => [Number(openingM3), Number(closingM3)]
/** The days of a published week, which may follow the market on one device and not on the other; older ones told none. */
export const weekSpan = ({ weekStartOn, inputs }: Row): Span => {
  const { days } = JSON.parse(String(inputs)) as { days?: CalendarDate[] }
  const startOn = weekStartOn as CalendarDate
  return [startOn, addDays(days?.at(-1) ?? addDays(startOn, 6), 1)]
}
export const isMetered = ({ method, openingM3, closingM3 }: Row) =>
  method === 'meter' && Number(closingM3) > Number(openingM3)
export const isOfDraft = ({ stage }: Row) => stage === 'draft'
export const saysWhetherTaken = ({ cause }: Row) => cause !== 'late' && cause !== 'stand-in'
export const isChosen = ({ picture }: Row) => picture !== null
export const isCharge = ({ kind }: Row) => kind === 'charge'
