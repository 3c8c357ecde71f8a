import type { CalendarDate } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import type { Group } from '../../domain/people/group.ts'
import type { Sentence } from '../../domain/people/voice/sentence.ts'
import type { M3 } from '../../domain/units.ts'
import type { Pen } from '../book/entries.ts'
import type { Database } from '../database/connection.ts'
import type { Locale } from '../web/figures/locale.ts'
import type { StepAbout } from './warning/store.ts'

interface KnownPump {
  id: string
  number: number
  name: string
  usualFlowM3PerH: number
  firstHour: number
  lastHour: number
  sunThresholdWPerM2: number
}

interface KnownOutlet {
  id: string
  number: number
  name: string
  pumpId: Id<'pump'>
  /** The flow of the latest test; null until there is one. */
  flowM3PerH: number | null
  testedOn: CalendarDate | null
}

/** Whoever listens: in which book, when, and in which words. */
interface Listener {
  db: Database
  today: CalendarDate
  group: Group
  at: Date
  timeZone: string
  locale: Locale
  format: { canLitres: number }
}

/** What the pages of people and plots want to hear from rooms that come later. */
export interface PeopleAsks {
  pumpsOn(db: Database, on: string): Promise<KnownPump[]>
  outletsOn(db: Database, on: string): Promise<KnownOutlet[]>
  /** The last day of the last published week; null before the first. */
  publishedUntil(db: Database): Promise<CalendarDate | null>
  /** What is asked and settled for weeks from a day on, by their first day. */
  askedByWeek(
    db: Database,
    fromOn: CalendarDate,
  ): Promise<{ weekStartOn: CalendarDate; requests: number; changes: number }[]>
  /** The fines of a person, as steps of the ladder: those that were taken back count no more. */
  finesTowards(db: Database, personId: Id<'person'>): Promise<StepAbout[]>
  /** What a plot asks for from a day on: for one week or for every week (null), a volume or what it needs (null), m3. */
  openWishes(
    db: Database,
    plotId: Id<'plot'>,
    fromOn: CalendarDate,
  ): Promise<{ weekStartOn: CalendarDate | null; volumeM3: M3 | null }[]>
  /** Writes the open wishes of a plot anew as two, by area. */
  splitWishes(
    pen: Pen,
    split: { plotId: Id<'plot'>; newPlotId: Id<'plot'>; fromOn: CalendarDate; areas: readonly [number, number] },
  ): Promise<void>
  /** The most ground that crops of a plot take together on any day from a day on, m2. */
  mostGroundFrom(db: Database, plotId: Id<'plot'>, fromOn: CalendarDate): Promise<number>
  /** What a newcomer does to the part of each plot, as fractions, by the rule or by another mix of weights; the newcomer's line comes last. Null: cannot say. */
  trialShares(
    db: Database,
    on: CalendarDate,
    newcomer: { areaM2: number; shares: number; persons: number },
    mix?: { equal: number; area: number; share: number; persons: number } | null,
  ): Promise<{ id: string; before: number; after: number }[] | null>
  /** What the meter of each pump was last seen to show up to a day; a pump whose meter was never read is not there. */
  lastMeterReadings(
    db: Database,
    on: CalendarDate,
  ): Promise<readonly { pumpId: Id<'pump'>; on: CalendarDate; readingM3: M3 }[]>
  /** The first day on which the log holds water that a plot got; null where it holds none. */
  firstWaterOn(db: Database, plotId: Id<'plot'>): Promise<CalendarDate | null>
  /** Vouchers written and not paid, and lines of the cash book since the cash was last counted. */
  openMoney(db: Database): Promise<{ unpaidVouchers: number; uncountedLines: number; countedOn: CalendarDate | null }>
  /** The next turn of a person in short sentences, for a device of the group; nothing where there is none. */
  nextTurnSaid(heard: Listener, personId: Id<'person'>): Promise<Sentence[]>
  /** What the book has as cash now, in minor units. */
  cashInBook(db: Database): Promise<number>
  /** Begins the money of a new group, and of a new person in it. */
  openGroupAccounts(pen: Pen): Promise<void>
  openMemberAccount(pen: Pen, personId: Id<'person'>): Promise<string>
}
