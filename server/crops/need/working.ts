import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { NEED_ERRORS } from '../../../domain/crops/demand/errors.ts'
import type { ExpectedDemand } from '../../../domain/crops/demand/expected-demand.ts'
import { USUAL_RAIN_RULE } from '../../../domain/crops/demand/rain.ts'
import type { Reason } from '../../../domain/crops/plan.ts'
import type { DaysLeft } from '../../../domain/crops/root-zone/outlook.ts'
import type { Range } from '../../../domain/units.ts'
import type { ReferenceEvapotranspiration } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { WeatherDay } from '../../water/weather/store.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import type { NameOfCrop } from '../crop/words.ts'
import { efficiencyOf } from './plan-water.ts'
import { settingLines } from './setting-lines.ts'
import type { PlanNeed, PlotNeed } from './state.ts'

interface ToShow {
  plot: Plot
  need: PlotNeed
  days: readonly { day: WeatherDay; demand: ReferenceEvapotranspiration | null }[]
  weekStartOn: CalendarDate
  weekEndOn: CalendarDate
  nameOf: NameOfCrop
  t: Translate
  f: Format
}

/** The need of one plot with everything that went into it, in words. */
export function needWorking(shown: ToShow): Working {
  const { plot, need, weekStartOn, t } = shown
  return {
    title: 'crops.need.title',
    titleValues: { number: plot.number, name: plot.name },
    result: resultInWords(shown),
    ...(need.need && need.plans.length > 0 ? { doubt: doubtInWords(shown) } : {}),
    lines:
      need.plans.length > 0
        ? [
            ...need.plans.flatMap((plan) => planLines(shown, plan)),
            ...plotLines(shown),
            ...settingLines(need, t, shown.f),
            ...expectedLine(shown),
            ...weatherLines(shown),
          ]
        : [],
    equation: equationInWords(shown),
    source: t('crops.need.source'),
    back: `/crops?week=${weekStartOn}`,
  }
}

function resultInWords({ need, weekStartOn, weekEndOn, t, f }: ToShow): string {
  const week = { from: f.date(weekStartOn), to: f.date(weekEndOn) }
  if (need.plans.length === 0) return t('crops.need.no-crop', week)
  if (need.need === null) return t('crops.need.cannot-say', { ...week, reasons: reasonsInWords(need.cannotSay, t, f) })
  const { lowM3, highM3 } = need.need
  const range = f.volumeRange(lowM3, highM3)
  return t('crops.need.result', { ...week, range, cans: `${f.jerrycans(lowM3)}–${f.jerrycans(highM3)}` })
}

/** Why something cannot be said, as one sentence after “because”. */
export function reasonsInWords(reasons: readonly Reason[], t: Translate, f: Format): string {
  const said = reasons.map((reason) => {
    const first = reason.values.first
    const values = typeof first === 'string' ? { ...reason.values, first: f.date(first) } : reason.values
    return t(`crops.reason.${reason.code}`, values)
  })
  return said.join(t('crops.reason.and'))
}

function equationInWords({ need, t, f }: ToShow): string {
  const { thresholdMm, fraction } = need.settings.rainRule ?? USUAL_RAIN_RULE
  const values = { least: thresholdMm / 2, full: 1.5 * thresholdMm, part: f.percent(fraction) }
  return t('crops.need.equation', values)
}

function doubtInWords({ need, t, f }: ToShow): string {
  const known = need.plans.flatMap(({ result }) => (result.known ? [result] : []))
  const etoFraction = known[0]!.expected!.errorFraction
  const doubt = t('crops.need.doubt', {
    coefficient: f.percent(NEED_ERRORS.coefficient),
    eto: f.percent(etoFraction),
    rain: f.percent(NEED_ERRORS.creditedRain),
    narrowest: f.percent(NEED_ERRORS.narrowest),
  })
  const narrower = etoFraction > NEED_ERRORS.coefficient ? [t('crops.need.narrower')] : []
  const toCome = need.toCome.length > 0 ? [t('crops.days-to-come', { days: need.toCome.length })] : []
  const days = need.missingRain.map((on) => f.date(on)).join(', ')
  const unwritten = days ? [t('crops.need.missing-rain', { days })] : []
  return [doubt, ...toCome, ...unwritten, ...narrower].join(' ')
}

function planLines({ plot, nameOf, t, f }: ToShow, { plan, crop, result, outlook }: PlanNeed): WorkingLine[] {
  const name = nameOf(crop)
  const line = (key: string, value: string, more: Partial<WorkingLine> = {}): WorkingLine => ({
    label: t(`crops.need.${key}`, { crop: name }),
    value,
    ...more,
  })
  const depth = ({ low, likely, high }: Range) =>
    t('crops.need.depth-range', { low: f.whole(low), likely: f.whole(likely), high: f.whole(high) })
  const sown = line('sown', t('crops.square-metres', { area: f.whole(plan.areaM2) }), {
    date: plan.sownOn,
    href: `/crops/lines/crop/${plan.id}`,
  })
  const left = line('days-left', ...daysLeft(outlook, t, f))
  if (!result.known) return [sown, left]
  const { kc, stage, depletionMm, useMm, netMm, grossM3, readilyMm, totalMm, turns } = result
  const turnValues = { turns, first: f.whole(result.firstTurnMm), later: f.whole(result.laterTurnMm) }
  return [
    sown,
    line('coefficient', f.two(kc), { source: `${stage ? t(`crops.stage.${stage}`) : ''}. ${crop.source}` }),
    line('lacks', depth(depletionMm), { href: `/crops/plans/${plan.id}/soil` }),
    line('credited', t('crops.millimetres', { depth: f.one(result.rainOfPastWeekMm) })),
    line('use', depth(useMm)),
    line('holds', t('crops.need.holds-value', { readily: f.whole(readilyMm), total: f.whole(totalMm) })),
    line('turns', t('crops.need.turns-value', turnValues)),
    line('net', depth(netMm)),
    line('gross', t('crops.cubic-metres', { volume: f.volumeRange(grossM3.low, grossM3.high) }), {
      source: t('crops.need.likely', {
        volume: f.volume(grossM3.likely),
        method: t(`people.plot.method.${plot.method}`),
      }),
    }),
    left,
  ]
}

/** The same for every crop of the plot. */
function expectedLine({ need, t, f }: ToShow): WorkingLine[] {
  const expected = expectedOf(need)[0]
  if (!expected) return []
  const value = t('crops.millimetres-a-day', { depth: f.one(expected.etoMmPerDay) })
  return [
    {
      label: t('crops.need.expected'),
      value,
      source: t(`crops.need.from-${expected.from}`, { days: expected.daysUsed }),
    },
  ]
}

function expectedOf(need: PlotNeed): ExpectedDemand[] {
  return need.plans.flatMap(({ result }) => (result.known && result.expected ? [result.expected] : []))
}

/** The days left from today, or “cannot say” with the reason beside it. */
function daysLeft(outlook: PlanNeed['outlook'], t: Translate, f: Format): [string, Partial<WorkingLine>] {
  if (!outlook.known) {
    return [t('crops.cannot-say'), { source: t('crops.because', { reasons: reasonsInWords(outlook.reasons, t, f) }) }]
  }
  const { lastDay: last, filledDays } = outlook
  const used = last && {
    used: f.whole(last.depletionMm),
    readily: f.whole(last.readilyAvailableMm),
    date: f.date(last.date),
  }
  const gaps = filledDays > 0 ? t('need.filled', { days: filledDays }) : ''
  const source = [used ? t('crops.depletion', used) : '', gaps].join(' ').trim()
  return [daysLeftInWords(outlook.daysLeft, t), { source }]
}

/** The days before a crop suffers, as a range. */
export function daysLeftInWords({ earliest, likely, latest }: DaysLeft, t: Translate): string {
  if (earliest === null) return t('crops.no-stress')
  if (latest === null) return t('crops.days-left-at-least', { days: earliest })
  if (latest === 0 || latest === earliest) return t('crops.days-left', { days: latest })
  return t(likely === 0 ? 'crops.days-left-short-now' : 'crops.days-left-between', { low: earliest, high: latest })
}

function plotLines({ plot, need, t, f }: ToShow): WorkingLine[] {
  const method = irrigationMethodByKey(plot.method)!
  const state = need.settings.stateOfPlot.get(plot.id)
  const efficiency = efficiencyOf(plot, need.settings)
  const isTroubled = state !== undefined && method.troubled?.state === state.state
  const efficiencySource = isTroubled ? method.troubled!.source : method.efficiencySource
  const soil = soilByKey(plot.soil)!
  const part = (fraction: number) => f.whole(100 * fraction)
  const range = t('crops.need.efficiency-range', { low: part(efficiency.low), high: part(efficiency.high) })
  const likely = t('crops.need.efficiency-likely', { likely: part(efficiency.likely), source: efficiencySource })
  return [
    {
      label: t('crops.need.efficiency', { method: t(`people.plot.method.${plot.method}`) }),
      value: range,
      source: state ? `${t(`setting.state.state.${state.state}`)}. ${likely}` : likely,
      ...(state ? { date: state.fromOn } : {}),
      href: `/people/plots/${plot.id}`,
    },
    {
      label: t('crops.need.soil', { soil: t(`people.plot.soil.${plot.soil}`) }),
      value: t('crops.need.soil-holds', { depth: f.whole(soil.availableMmPerM.likely) }),
      source: t('crops.need.soil-source'),
      href: `/people/plots/${plot.id}`,
    },
    ...untypedLine(need, t, f),
  ]
}

function untypedLine({ untyped: { count, volumeM3 } }: PlotNeed, t: Translate, f: Format): WorkingLine[] {
  return count > 0
    ? [{ label: t('water.untyped.line', { count }), value: `0–${f.volume(volumeM3)} m³`, href: '/log' }]
    : []
}

/** The days that the need looks back on, each with its own working. */
function weatherLines({ days, need, weekStartOn, t, f }: ToShow): WorkingLine[] {
  const from = expectedOf(need)[0]?.from
  const fromOn = addDays(weekStartOn, from === 'past-7-days' ? -7 : -14)
  return days
    .filter(({ day }) => day.onDate >= fromOn)
    .map(({ day, demand }) => ({
      label: t('crops.need.day'),
      value: t('crops.need.day-figures', {
        eto: demand ? f.one(demand.etoMm) : t('crops.not-read'),
        rain: day.rainMm === null ? t('crops.not-read') : f.one(day.rainMm),
      }),
      date: day.onDate,
      source: demand ? t(`crops.method.${demand.method}`) : '',
      href: `/crops/lines/weather/${day.onDate}`,
    }))
}
