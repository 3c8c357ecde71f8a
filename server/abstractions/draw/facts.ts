import type { OtherTurn, PlausibilityInput } from '../../../domain/abstractions/plausibility/logged-turn.ts'
import type { Instant } from '../../../domain/calendar.ts'
import { type M3, MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { PlannedTurn } from '../../rotation/published/listed-store.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { Place } from '../place/store.ts'

/** A draw as far as its oddness is judged: an entry of the book or what was just typed. */
interface JudgedDraw {
  id: string
  onDate: string
  method: string
  startTime: string | null
  endTime: string | null
  openingM3: M3 | null
  closingM3: M3 | null
  volumeM3: M3 | null
  /** The meter was replaced in between, so its two readings are not of one counter. */
  replaced?: boolean
}

interface Surroundings {
  place: Place
  plan: PlannedTurn | undefined
  timeZone: string
  writtenAt: Instant
  happenedAt?: Instant
  /** When the entry before it in the book was written, where that was later. */
  previousWrittenAt?: Instant | undefined
  previousClosingM3?: M3 | undefined
  nextOpeningM3?: M3 | undefined
  startUnread?: boolean | undefined
  nextStartUnread?: boolean | undefined
  others?: OtherTurn[]
}

/** Puts a draw and what surrounds it in the book into the form that `plausibility` judges. Numbers on plates stand for ids. */
export function factsOf(draw: JudgedDraw, around: Surroundings): PlausibilityInput {
  const { place, plan, timeZone } = around
  const metered = draw.method === 'meter' && !draw.replaced
  return {
    turn: {
      outletId: outletMark(place.outlet?.number, draw.id),
      pumpId: String(place.pump?.number ?? ''),
      ...defined({
        meterId: metered ? place.pump?.id : undefined,
        startAt: draw.startTime && localInstant(draw.onDate, draw.startTime, timeZone),
        stopAt: draw.endTime && localInstant(draw.onDate, draw.endTime, timeZone),
        openingM3: draw.replaced ? undefined : draw.openingM3,
        closingM3: draw.replaced ? undefined : draw.closingM3,
        meterDigits: metered ? place.pump?.meterDigits : undefined,
        volumeM3: metered ? undefined : draw.volumeM3,
      }),
    },
    writtenAt: around.writtenAt,
    ...defined({
      happenedAt: around.happenedAt,
      previousWrittenAt: around.previousWrittenAt,
      // By gravity the water comes from the tank, whatever the pump lifts.
      pumpMaxM3PerH: place.tankId ? undefined : place.pump?.usualFlowM3PerH,
      pumpDayHours: place.pump && !place.tankId ? place.pump.lastHour - place.pump.firstHour : undefined,
      outletMaxM3PerH: place.outlet?.flowM3PerH,
      previousClosingM3: around.previousClosingM3,
      nextOpeningM3: around.nextOpeningM3,
      startUnread: around.startUnread,
      nextStartUnread: around.nextStartUnread,
      plan: plan && planWindow(plan, timeZone),
    }),
    others: around.others ?? [],
  }
}

/** Draws without an outlet share no pipe with any other, so each stands for itself. */
export function outletMark(outletNumber: number | null | undefined, id: string): string {
  return outletNumber == null ? `no outlet, ${id}` : String(outletNumber)
}

function planWindow(turn: PlannedTurn, timeZone: string) {
  const at = (minute: number) => {
    const clock = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(Math.floor(minute % 60)).padStart(2, '0')}`
    return localInstant(turn.onDate, clock, timeZone)
  }
  const [startAt, stopAt] = [at(turn.startMinute), at(Math.min(turn.endMinute, MINUTES_PER_DAY - 1))]
  return startAt && stopAt ? { startAt, stopAt, volumeM3: turn.volumeM3 } : null
}

type Known<T> = { [K in keyof T]: NonNullable<T[K]> }

/** Leaves out what nobody wrote, since what is not known is not judged. */
function defined<T extends Record<string, unknown>>(fields: T): Partial<Known<T>> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value != null && value !== '')) as Partial<
    Known<T>
  >
}

/** Minutes after midnight of a clock time `HH:MM`. */
export function minuteOf(clock: string): number {
  const [hours = 0, minutes = 0] = clock.split(':').map(Number)
  return hours * 60 + minutes
}
