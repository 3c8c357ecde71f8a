import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { outlookChart } from '../../../domain/water/outlook/chart.ts'
import type { StorageOutlook } from '../../../domain/water/outlook/outlook.ts'
import { wholeWeekDays } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WorkingLine } from '../../web/pages/working.ts'
import { planWords, type Sentence } from '../cover/words.ts'
import { type OutlookState, TRACES, type WeirAhead } from './state.ts'

type Bands = Extract<StorageOutlook, { kind: 'bands' }>
type Years = Extract<StorageOutlook, { kind: 'years' }>

/** What the page shows of each weir: a chart, the same figures by week, and sentences. */
export function weirPages({ outlook, weirs, setting }: OutlookState, desk: Desk) {
  return weirs.map((ahead) => {
    const weirId = ahead.cover.state.weir.id
    const common = { ahead, weir: ahead.cover.state.weir, safe: safeSentences(ahead, setting.holdsIn, desk) }
    if (!outlook || outlook.cannotSay) return { ...common, sentences: [], chart: null, table: null }
    return {
      ...common,
      ...(outlook.kind === 'bands' ? ofBands(outlook, weirId, desk) : ofYears(outlook, weirId, desk)),
    }
  })
}

/** So many pictures come over a weak line in one go. Own choice, no source. */
const MOST_PICTURES = 6

/** The first weir stands open, or the one that is asked for; of many weirs no other is pictured, and a door leads to each. */
export function fewPictures<T extends { weir: { number: number } }>(
  { query }: Pick<Desk, 'query'>,
  pages: readonly T[],
) {
  const open = pages.find(({ weir }) => String(weir.number) === query.weir) ?? pages[0]
  return pages.map((one) => ({
    ...one,
    isOpen: one === open,
    isThere: one === open || pages.length <= MOST_PICTURES,
    href: `?weir=${one.weir.number}#weir-${one.weir.number}`,
  }))
}

/** The morning of the same day of every week, and the last of all. */
function everyWeek<T>(days: readonly T[], { today, group }: Desk): T[] {
  const daysInWeek = wholeWeekDays(today, group)
  return days.filter((_, day) => day % daysInWeek === 0 || day === days.length - 1)
}

function ofBands(outlook: Bands, weirId: Id<'weir'>, desk: Desk) {
  const { format: f, locale } = desk
  const { bands, chanceAboveReserve, firstBelow } = outlook.weirs.find((one) => one.weirId === weirId)!
  const { t } = locale
  const line = (name: string, key: 'tenM3' | 'fiftyM3' | 'ninetyM3' | 'reserveM3') => ({
    name,
    valuesM3: bands.map((band) => band[key]),
  })
  const [ten, fifty, ninety] = [line('ten', 'tenM3'), line('fifty', 'fiftyM3'), line('ninety', 'ninetyM3')]
  const chart = outlookChart({
    dates: bands.map(({ date }) => date),
    bandBetween: [ninety, ten],
    lines: [ninety, fifty, ten, line('reserve', 'reserveM3')],
  })
  const sentences: Sentence[] = [
    { key: 'outlook.chance', values: { percent: f.percent(chanceAboveReserve) } },
    firstBelowSentence(firstBelow, f),
  ]
  const table = {
    columns: ['ten', 'fifty', 'ninety', 'reserve'].map((name) => t(`outlook.column.${name}`)),
    rows: everyWeek(bands, desk).map(({ date, tenM3, fiftyM3, ninetyM3, reserveM3 }) => ({
      date,
      cells: [tenM3, fiftyM3, ninetyM3, reserveM3],
    })),
  }
  return { sentences, chart, table, kind: 'bands' as const }
}

type FirstBelow = Bands['weirs'][number]['firstBelow']

function firstBelowSentence({ tenOn, fiftyOn, ninetyOn }: FirstBelow, f: Desk['format']): Sentence {
  if (tenOn === null) return { key: 'outlook.below.none', values: {} }
  if (fiftyOn === null) return { key: 'outlook.below.ten', values: { ten: f.date(tenOn) } }
  const values = { ten: f.date(tenOn), fifty: f.date(fiftyOn) }
  if (ninetyOn === null) return { key: 'outlook.below.fifty', values }
  return { key: 'outlook.below.ninety', values: { ...values, ninety: f.date(ninetyOn) } }
}

function ofYears(outlook: Years, weirId: Id<'weir'>, desk: Desk) {
  const { format: f, locale } = desk
  const { t } = locale
  const years = outlook.years.map(({ name, weirs }) => ({ name, ...weirs.find((one) => one.weirId === weirId)! }))
  const { reserveM3 } = outlook.weirs.find((one) => one.weirId === weirId)!
  const lines = years.map(({ name, availableM3 }) => ({ name, valuesM3: availableM3 }))
  const chart = outlookChart({ dates: outlook.dates, lines: [...lines, { name: 'reserve', valuesM3: reserveM3 }] })
  const sentences: Sentence[] = years.map(
    ({ name, firstBelowOn }): Sentence =>
      firstBelowOn === null
        ? { key: 'outlook.year.holds', values: { year: name } }
        : { key: 'outlook.year.below', values: { year: name, date: f.date(firstBelowOn) } },
  )
  const table = {
    columns: [...years.map(({ name }) => name), t('outlook.column.reserve')],
    rows: everyWeek(
      outlook.dates.map((date, day) => ({ date, day })),
      desk,
    ).map(({ date, day }) => ({
      date,
      cells: [...years.map(({ availableM3 }) => availableM3[day]!), reserveM3[day]!],
    })),
  }
  return { sentences, chart, table, kind: 'years' as const }
}

/** A steady volume is told downwards to the full cubic metre: nobody is promised more than holds. */
function safeSentences({ safe, cover }: WeirAhead, holdsIn: number, { format: f }: Desk): Sentence[] {
  if (safe.cannotSay) return []
  const { plan } = cover
  const holdsM3 =
    safe.kind === 'quantile' ? safe.safeWeeklyM3 : Math.min(...safe.years.map(({ largestWeeklyM3 }) => largestWeeklyM3))
  const planned: Sentence[] =
    plan.source === 'none'
      ? []
      : [
          {
            key: 'outlook.safe.plan',
            values: { volume: f.volume(plan.volumeM3), by: plan.source, more: plan.volumeM3 > holdsM3 ? 'yes' : 'no' },
          },
        ]
  const down = (m3: M3) => f.whole(Math.floor(m3))
  if (safe.kind === 'quantile') {
    const key = safe.safeWeeklyM3 < 1 ? 'outlook.safe.nothing' : 'outlook.safe.quantile'
    return [{ key, values: { volume: down(safe.safeWeeklyM3), tens: f.one(holdsIn * 10) } }, ...planned]
  }
  const years = safe.years.map(({ name, largestWeeklyM3 }) => `${name}: ${down(largestWeeklyM3)} m³`).join('; ')
  return [{ key: 'outlook.safe.years', values: { years } }, ...planned]
}

/** Everything that the outlook rests on. */
export function outlookLines(found: OutlookState, desk: Desk, seasonEndOn: CalendarDate): WorkingLine[] {
  const { rain, setting, isSet, weirs, rechargeFromMm } = found
  const { t } = desk
  const f = desk.format
  const isBands = found.outlook?.cannotSay === null && found.outlook.kind === 'bands'
  return [
    {
      label: t('outlook.line.rain-years'),
      value: f.whole(rain.years.length),
      source: rain.years.map(({ name }) => name).join(', '),
      href: '/crops/weather',
    },
    ...rain.leftOut.map(({ name, unreadDays }) => ({
      label: t('outlook.line.left-out', { year: name }),
      value: t('outlook.line.unread', { days: unreadDays }),
    })),
    { label: t('outlook.line.days'), value: f.whole(daysBetween(desk.today, seasonEndOn) + 1), date: seasonEndOn },
    ...(isBands
      ? [
          { label: t('outlook.line.traces'), value: f.whole(TRACES) },
          { label: t('outlook.line.seed'), value: String(setting.seed) },
          {
            label: t('outlook.line.holds-in'),
            value: t('outlook.line.of-ten', { tens: f.one(setting.holdsIn * 10) }),
            ...(isSet ? { date: setting.fromOn } : { source: t('outlook.line.usual') }),
          },
        ]
      : []),
    { label: t('outlook.line.recharge-from'), value: `${f.one(rechargeFromMm)} mm`, href: '/water/kept' },
    ...weirs.flatMap((ahead) => weirLines(ahead, desk)),
  ]
}

function weirLines({ cover, recharge }: WeirAhead, desk: Desk): WorkingLine[] {
  const { t } = desk
  const f = desk.format
  const { weir } = cover.state
  const stretches = recharge.fit?.stretches ?? 0
  return [
    {
      label: t('outlook.line.weir-recharge', { number: weir.number }),
      value: t('outlook.line.per-mm', { volume: f.two(recharge.rechargeM3PerMm) }),
      source: t(`outlook.recharge.${recharge.source}`, { stretches }),
      date: recharge.source === 'own' ? cover.term!.fromOn : null,
      href: recharge.source === 'own' ? `/water/working/lasts/${weir.id}` : '/water/went',
    },
    {
      label: t('outlook.line.weir-plan', { number: weir.number }),
      value: `${f.volume(cover.plan.volumeM3)} m³`,
      source: planWords(cover, desk),
      href: `/water/working/lasts/${weir.id}`,
    },
  ]
}
