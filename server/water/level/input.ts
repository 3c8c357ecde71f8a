import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type Filled, type ReadForm, type Typed, withError } from '../../web/forms/forms.ts'
import { localDate, localInstant } from '../../web/pages/visit.ts'
import type { NewReading, WrittenReading } from './store.ts'

export interface LevelInput {
  weirId: Id<'weir'>
  readOn: CalendarDate
  readAt: Instant
  depth: number
  pumpRunning: boolean
  pumpOffOn: CalendarDate | null
  pumpOffAt: Instant | null
  flowSeen: boolean
  readerId: Id<'person'> | null
  remark: string | null
}

interface Clock {
  timeZone: string
  now: Date
}

/** What was typed as a line of the level book, or what is wrong with it. */
export function readingOfInput(
  input: LevelInput,
  form: Filled,
  { timeZone, now }: Clock,
): { reading: NewReading } | { problem: ReadForm<never> } {
  const refuse = (field: string, key: string) => ({ problem: withError(form, field, key) })
  if (input.readOn > localDate(now, timeZone)) return refuse('readOn', 'water.level.future-day')
  const happenedAt = localInstant(input.readOn, input.readAt, timeZone)
  if (happenedAt === null) return refuse('readAt', 'water.level.no-such-hour')
  if (happenedAt > now.toISOString()) return refuse('readAt', 'water.level.future-hour')
  const { pumpRunning, pumpOffOn, pumpOffAt } = input
  if (pumpRunning && (pumpOffOn || pumpOffAt)) return refuse('pumpRunning', 'water.level.running-and-off')
  if (pumpOffAt && !pumpOffOn) return refuse('pumpOffOn', 'water.level.off-halves')
  if (pumpOffOn && !pumpOffAt) return refuse('pumpOffAt', 'water.level.off-halves')
  const offAt = pumpOffOn && pumpOffAt ? localInstant(pumpOffOn, pumpOffAt, timeZone) : null
  if (pumpOffOn && offAt === null) return refuse('pumpOffAt', 'water.level.no-such-hour')
  if (offAt !== null && offAt > happenedAt) return refuse('pumpOffAt', 'water.level.off-after-reading')
  const { weirId, readOn, readAt, depth, flowSeen, readerId, remark } = input
  const pump = { pumpRunning, pumpOffSinceAt: offAt }
  return { reading: { weirId, readOn, readAt, happenedAt, depthCm: depth, readerId, ...pump, flowSeen, remark } }
}

/** The form as an earlier reading filled it, for a correction that changes a part. */
export function inputOfReading(reading: WrittenReading, timeZone: string): Typed {
  const off = reading.pumpOffSinceAt === null ? null : new Date(reading.pumpOffSinceAt)
  return {
    weirId: reading.weirId,
    readOn: reading.readOn,
    readAt: reading.readAt,
    depth: String(reading.depthCm),
    pumpRunning: reading.hoursSincePumping === 'running' ? 'yes' : '',
    pumpOffOn: off ? localDate(off, timeZone) : '',
    pumpOffAt: off ? localClock(off, timeZone) : '',
    flowSeen: reading.flowSeen ? 'yes' : '',
    readerId: reading.readerId ?? '',
    remark: reading.remark ?? '',
  }
}

function localClock(at: Date, timeZone: string): string {
  const clock = new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' })
  return clock.format(at)
}
