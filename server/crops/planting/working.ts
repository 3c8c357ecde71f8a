import type { Range } from '../../../domain/units.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { cropNamer } from '../crop/words.ts'
import type { SeasonNeeds } from '../season/need.ts'
import type { Ceiling, PlantingWater } from './ceiling.ts'

interface ToShow {
  water: PlantingWater
  season: SeasonNeeds
  ceiling: Ceiling | null
  desk: Desk
}

/** The ceiling with all that went into it, in words. */
export function plantingWorking(shown: ToShow): Working {
  const { ceiling, desk } = shown
  const { t } = desk
  const f = desk.format
  return {
    title: 'planting.working.title',
    result: ceiling
      ? t('planting.working.result', {
          first: f.whole(ceiling.area.firstTrancheM2),
          likely: f.whole(ceiling.area.likelyM2),
        })
      : t('planting.working.no-result'),
    ...(ceiling?.area.relativeErrorFraction != null
      ? {
          doubt: t(`planting.working.${ceiling.area.method}`, { error: f.percent(ceiling.area.relativeErrorFraction) }),
        }
      : {}),
    lines: [...waterLines(shown), ...needLines(shown), ...monthLines(shown)],
    equation: t('planting.working.equation'),
    source: t('planting.working.source'),
    back: '/crops/planting',
  }
}

function rangeWords({ low, likely, high }: Range, { t, format: f }: Desk): string {
  return t('planting.working.range', { range: f.volumeRange(low, high), likely: f.volume(likely) })
}

function waterLines({ water, desk }: ToShow): WorkingLine[] {
  const { t } = desk
  return water.weirs.flatMap(({ state, storeM3, reserveM3, lossM3, cannotSay }): WorkingLine[] => {
    const values = { number: state.weir.number, name: state.weir.name }
    const store = { label: t('planting.working.store', values), href: `/water/weirs/${state.weir.id}/storage` }
    if (!storeM3) {
      const because = cannotSay.map((reason) => t(`water.cannot-say.${reason}`)).join(' ')
      return [{ ...store, value: '0', source: t('planting.working.not-counted', { because }) }]
    }
    const readOn = state.reading?.readOn ?? null
    return [
      { ...store, value: rangeWords(storeM3, desk), date: readOn },
      {
        label: t('planting.working.reserve', values),
        value: rangeWords(reserveM3, desk),
        source: t('planting.working.reserve-source'),
        date: state.lateRainOn,
        href: `/water/weirs/${state.weir.id}/reserve`,
      },
      {
        label: t('planting.working.loss', values),
        value: rangeWords(lossM3, desk),
        source: t(state.isLossKnown ? 'planting.working.loss-source' : 'planting.working.loss-unknown'),
        href: `/water/weirs/${state.weir.id}/reserve`,
      },
    ]
  })
}

function needLines({ season, ceiling, desk }: ToShow): WorkingLine[] {
  const { t } = desk
  const f = desk.format
  const nameOf = cropNamer(desk.locale)
  const lines = season.plans.map(({ plan, plot, areaM2, need }) => {
    const { low, high } = need.grossM3PerM2
    return {
      label: t('planting.working.need', { crop: nameOf(plan.crop!), number: plot.number }),
      value: t('planting.working.need-value', {
        area: f.whole(areaM2),
        depth: f.whole(need.netMm),
        range: f.volumeRange(low * areaM2, high * areaM2),
      }),
      source: t('planting.working.need-source', {
        error: f.percent(need.errorFraction),
        method: t(`people.plot.method.${plot.method}`),
      }),
      date: plan.sownOn,
      href: `/crops/crop-plans/${plan.id}`,
    }
  })
  if (!ceiling) return lines
  const { low, likely, high } = ceiling.needM3PerM2
  const value = t('planting.working.litres', { low: f.litres(low), likely: f.litres(likely), high: f.litres(high) })
  return [...lines, { label: t('planting.working.per-m2'), value }]
}

function monthLines({ season, desk }: ToShow): WorkingLine[] {
  const { t, language } = desk.locale
  const used = new Set(season.plans.flatMap(({ need }) => need.days.map((day) => Number(day.date.slice(5, 7)) - 1)))
  const month = new Intl.DateTimeFormat(language, { month: 'long', timeZone: 'UTC' })
  return [...used]
    .sort((a, b) => a - b)
    .map((at) => {
      const { etoMmPerDay, from, days, errorFraction } = season.months![at]!
      return {
        label: t('planting.working.month', { month: month.format(new Date(Date.UTC(2026, at, 1))) }),
        value: t('crops.millimetres-a-day', { depth: desk.format.one(etoMmPerDay) }),
        source: t(`planting.working.month-${from}`, { days, error: desk.format.percent(errorFraction) }),
        href: from === 'month-table' ? '/crops/settings' : '/crops/weather',
      }
    })
}
