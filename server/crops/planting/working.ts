import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { cropNamer } from '../crop/words.ts'
import type { SeasonNeeds } from '../season/need.ts'
import type { Ceiling, WaterForPlanting, WeirForPlanting } from './ceiling.ts'

interface ToShow {
  water: WaterForPlanting
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
          first: f.whole(ceiling.firstTrancheM2),
          likely: f.whole(ceiling.firstTrancheM2 + ceiling.secondTrancheM2),
          high: f.whole(ceiling.highM2),
        })
      : t('planting.working.no-result'),
    lines: [...shown.water.weirs.flatMap((one) => weirLines(one, shown)), ...needLines(shown), ...monthLines(shown)],
    equation: t('planting.working.equation'),
    source: t('planting.working.source'),
    back: '/crops/planting',
  }
}

function weirLines(one: WeirForPlanting, { ceiling, desk }: ToShow): WorkingLine[] {
  const { state, cannotSay, liftM3, water } = one
  const { t } = desk
  const f = desk.format
  const { weir, storage, reserve, reading } = state
  const values = { number: weir.number, name: weir.name }
  const store = { label: t('planting.working.store', values), href: `/water/working/store/${weir.id}` }
  if (!water || storage.cannotSay || !reserve) {
    const because = cannotSay.map((reason) => t(`water.cannot-say.${reason}`)).join(' ')
    const source = because ? t('planting.working.not-counted', { because }) : t('planting.working.not-pumped')
    return [{ ...store, value: '0', source }]
  }
  const { lowM3, likelyM3, highM3 } = storage.available
  const range = f.volumeRange(lowM3, highM3)
  const until = { ...values, date: f.date(addDays(state.on, reserve.days)) }
  return [
    {
      ...store,
      value: t('planting.working.range', { range, likely: f.volume(likelyM3) }),
      date: reading?.readOn ?? null,
    },
    {
      label: t('planting.working.reserve', until),
      value: `${f.volume(reserve.reserveM3)} m³`,
      source: t(state.isLossKnown ? 'planting.working.reserve-source' : 'planting.working.loss-unknown'),
      href: `/water/working/kept/${weir.id}`,
    },
    ...(liftM3
      ? [
          {
            label: t('planting.working.lift', values),
            value: `${f.volume(liftM3[0] ?? 0)} m³`,
            href: '/log/working/pumps',
          },
        ]
      : []),
    ...areaLines(ceiling, weir.id, desk),
  ]
}

function areaLines(ceiling: Ceiling | null, weirId: Id<'weir'>, { t, format: f }: Desk): WorkingLine[] {
  const found = ceiling?.weirs.find(({ weir }) => weir.id === weirId)
  if (!found) return []
  const { weir, area } = found
  const { firstTrancheM2, likelyM2, highM2, relativeErrorFraction: error } = area
  const areas = { first: f.whole(firstTrancheM2), likely: f.whole(likelyM2), high: f.whole(highM2) }
  const doubt = error === null ? '' : t(`planting.working.${area.method}`, { error: f.percent(error) })
  return [
    {
      label: t('planting.working.area', { number: weir.number, name: weir.name }),
      value: t('planting.working.areas', areas),
      source: area.heldBy === 'pump' ? `${doubt} ${t('planting.working.held-pump')}` : doubt,
    },
  ]
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
      href: `/crops/lines/crop/${plan.id}`,
    }
  })
  if (!ceiling) return lines
  const { low, likely, high } = ceiling.needM3PerM2
  const value = t('planting.working.litres', { low: f.litres(low), likely: f.litres(likely), high: f.litres(high) })
  return [...lines, { label: t('planting.working.per-m2'), value }]
}

function monthLines({ season, desk }: ToShow): WorkingLine[] {
  const { t, language } = desk.locale
  const used = new Set<number>()
  for (const { need } of season.plans) for (const { date } of need.days) used.add(Number(date.slice(5, 7)) - 1)
  const month = new Intl.DateTimeFormat(language, { month: 'long', timeZone: 'UTC' })
  return [...used]
    .sort((a, b) => a - b)
    .map((at) => {
      const { etoMmPerDay, from, days, errorFraction } = season.months![at]!
      return {
        label: t('planting.working.month', { month: month.format(new Date(Date.UTC(2026, at, 1))) }),
        value: t('crops.millimetres-a-day', { depth: desk.format.one(etoMmPerDay) }),
        source: t(`planting.working.month-${from}`, { days, error: desk.format.percent(errorFraction) }),
        href: from === 'month-table' ? '/crops/figures' : '/crops/weather',
      }
    })
}
