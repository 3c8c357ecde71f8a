import { addDays, type CalendarDate, weekdayOf } from '../../../domain/calendar.ts'
import { saidCans } from '../../../domain/people/voice/rounding.ts'
import { LITRES_PER_JERRYCAN, type M3 } from '../../../domain/units.ts'
import { catalogueOf, isSpoken } from '../words/catalogue.ts'

export type Format = ReturnType<typeof makeFormat>

/** What a group counts by beside litres and our own calendar. */
export interface GroupCounts {
  /** What its can holds. */
  canLitres: number
  /** The other calendar whose day stands beside ours, by its name in CLDR. */
  calendar: string | null
  /** Its own names of our months, 1 to 12. */
  months: Readonly<Record<number, string>>
}

export const USUAL_COUNTS: GroupCounts = { canLitres: LITRES_PER_JERRYCAN, calendar: null, months: {} }

/** As long as a plus: a hyphen before a figure is easily lost. */
const MINUS = '\u2212'

const SHORT_DAY = { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' } as const

/**
 * Figures and dates as pages show them. The Intl objects are made once: a new one per call costs more than the page.
 * The water of plots and turns is told in tenths of a m3 on every page (`one`, in columns `tenth`), so that one turn has one figure.
 * Other volumes under 10 m3 keep one decimal, larger ones none; a plan is never shown to the litre, and a range in words no
 * finer than a tenth of its own width: 1,415 to 2,606 m3 is said as 1,400 to 2,600.
 */
export function makeFormat(pageLanguage: string, timeZone: string, counts: GroupCounts = USUAL_COUNTS) {
  const { canLitres } = counts
  // Day before month, as everywhere but in one country.
  const own = new Intl.Locale(pageLanguage)
  const language = own.language === 'en' && !own.region ? new Intl.Locale(own, { region: 'GB' }) : own
  // What rounds to nothing has no sign.
  const number = (digits: number, { always = 0 } = {}) => {
    const figures = { minimumFractionDigits: always, maximumFractionDigits: digits, signDisplay: 'negative' } as const
    const own = new Intl.NumberFormat(language, figures)
    return { format: (value: number) => own.format(value).replace('-', MINUS) }
  }
  const [whole, one, two, three] = [number(0), number(1), number(2), number(3)]
  const pair = new Intl.NumberFormat(language, {
    minimumIntegerDigits: 2,
    useGrouping: false,
    maximumFractionDigits: 0,
  })
  const tenth = number(1, { always: 1 })
  const volume = (m3: M3) => (Math.abs(m3) < 9.95 ? one : whole).format(m3)
  const volumeWithin = (m3: M3, low: number, high: number) => volume(roundToStep(m3, stepWithin(low, high)))
  const hour = hourSign(language)
  const percent = new Intl.NumberFormat(language, { style: 'percent', maximumFractionDigits: 0 })
  return {
    whole: whole.format,
    one: one.format,
    two: two.format,
    /** Always with one decimal, for columns. */
    tenth: tenth.format,
    /** A meter reading or a logged volume, to the litre. */
    toLitre: three.format,
    percent: (fraction: number) => percent.format(fraction),
    volume,
    volumeRange: (low: number, high: number) =>
      volume(low) === volume(high) ? volume(low) : `${volume(low)}–${volume(high)}`,
    /** What an estimate is at least and at most, in two figures that count, rounded away from saying too much. */
    atLeast: (m3: M3) => volume(Math.floor(m3 / twoFigures(m3) + 1e-9) * twoFigures(m3)),
    atMost: (m3: M3) => volume(Math.ceil(m3 / twoFigures(m3) - 1e-9) * twoFigures(m3)),
    /** An estimate within its range, no finer than a tenth of that. */
    volumeWithin,
    /** Litres of the can that the group counts in. */
    canLitres,
    /** One by one under 1 m3, by tens above: nobody counts two hundred cans to the last one. */
    jerrycans: (m3: M3) => whole.format(saidCans(m3, canLitres)),
    litres: (m3: M3) => whole.format(m3 * 1000),
    ...dayFormat(language, timeZone, counts),
    /** Minutes after midnight as a clock time, `09:05`. */
    clock: (minute: number) => `${pair.format(Math.floor(minute / 60))}:${pair.format(minute % 60)}`,
    /** Hours as `2 h 05`, in a script of its own with its own sign. */
    duration: (hours: number) => {
      const minutes = Math.round(hours * 60)
      return `${whole.format(Math.floor(minutes / 60))} ${hour} ${pair.format(minutes % 60)}`
    },
  }
}

/** `h`, unless the language shortens the hour in letters that are not Latin (CLDR). */
function hourSign(language: Intl.Locale): string {
  const two = new Intl.NumberFormat(language, { style: 'unit', unit: 'hour', unitDisplay: 'narrow' }).formatToParts(2)
  const sign = two.find(({ type }) => type === 'unit')?.value.trim() ?? 'h'
  return /\p{Script=Latin}/u.test(sign) ? 'h' : sign
}

/** The comma of a language with its space, without an "and" that it may join to it (CLDR). */
function commaOf(language: Intl.Locale): string {
  const list = new Intl.ListFormat(language, { type: 'unit', style: 'short' }).formatToParts(['1', '2', '3'])
  return list[1]!.value.replace(/\p{L}+$/u, '')
}

/** Days and moments: a day of the calendar has no time zone, a moment is told by the group's. */
function dayFormat(language: Intl.Locale, timeZone: string, { calendar, months }: GroupCounts) {
  const day = new Intl.DateTimeFormat(language, { dateStyle: 'medium', timeZone: 'UTC' })
  const shortDay = new Intl.DateTimeFormat(language, SHORT_DAY)
  const weekday = new Intl.DateTimeFormat(language, { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' })
  const monthAndYear = new Intl.DateTimeFormat(language, { month: 'long', year: 'numeric', timeZone: 'UTC' })
  const spoken = [language.baseName, language.language].find(isSpoken)
  const shortDays = spoken ? catalogueOf(spoken).shortDays : undefined
  const dayName = new Intl.DateTimeFormat(language, { weekday: 'short', timeZone: 'UTC' })
  const dayNumber = new Intl.DateTimeFormat(language, { day: 'numeric', timeZone: 'UTC' })
  const instant = new Intl.DateTimeFormat(language, {
    dateStyle: 'medium',
    timeStyle: 'short',
    timeZone,
    hourCycle: 'h23',
  })
  const comma = commaOf(language)
  const asUtc = (date: CalendarDate) => new Date(`${date}T00:00:00Z`)
  const inOther =
    calendar && new Intl.DateTimeFormat(language, { calendar, day: 'numeric', month: 'long', timeZone: 'UTC' })
  const otherDay = (date: CalendarDate) => (inOther ? inOther.format(asUtc(date)) : '')
  /** The day by the group's other calendar and its own name of the month; empty where it has neither. */
  const beside = (date: CalendarDate) =>
    [otherDay(date), months[Number(date.slice(5, 7))] ?? ''].filter(Boolean).join(comma)
  return {
    /** What stands between the things of a list. */
    comma,
    /** The day and month of the group's other calendar; empty where it has none. */
    otherDay,
    date: (date: CalendarDate) => day.format(asUtc(date)),
    dates: (dates: readonly CalendarDate[]) => rangesIn(day, dates, comma),
    weekday: (date: CalendarDate) => {
      const own = beside(date)
      return own ? `${weekday.format(asUtc(date))} (${own})` : weekday.format(asUtc(date))
    },
    /** `Mon` and `30`, as the margin of a list says them one above the other. */
    dayOfWeek: (date: CalendarDate) => shortDays?.[weekdayOf(date) - 1] ?? dayName.format(asUtc(date)),
    /** `October 2026`. */
    month: (date: CalendarDate) => monthAndYear.format(asUtc(date)),
    dayOfMonth: (date: CalendarDate) => dayNumber.format(asUtc(date)),
    shortDay: (date: CalendarDate) => shortDay.format(asUtc(date)).replace(comma.trim(), ''),
    instant: (text: string) => instant.format(new Date(text)),
  }
}

function rangesIn(day: Intl.DateTimeFormat, dates: readonly CalendarDate[], comma: string): string {
  const asUtc = (date: CalendarDate) => new Date(`${date}T00:00:00Z`)
  return daysInRow(dates)
    .map(([first, last]) => day.formatRange(asUtc(first), asUtc(last)))
    .join(comma)
}

/** The first and the last day of each stretch of days in a row. */
function daysInRow(dates: readonly CalendarDate[]): [CalendarDate, CalendarDate][] {
  const rows: [CalendarDate, CalendarDate][] = []
  for (const date of dates) {
    const last = rows.at(-1)
    if (last && addDays(last[1], 1) === date) last[1] = date
    else rows.push([date, date])
  }
  return rows
}

/** The largest power of ten within a tenth of the range's width; 0 keeps the usual rounding. */
/** The step that leaves a volume two figures, never under the tenth that is shown. */
function twoFigures(m3: M3): number {
  return Math.max(0.1, 10 ** (Math.floor(Math.log10(Math.max(m3, 1))) - 1))
}

function stepWithin(low: number, high: number): number {
  const step = 10 ** Math.floor(Math.log10(Math.max(high - low, 0) / 10))
  return step > 1 ? step : 0
}

function roundToStep(value: number, step: number): number {
  return step === 0 ? value : Math.round(value / step) * step
}
