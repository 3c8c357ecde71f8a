import type { Format } from '../../web/figures/format.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { WorkingLine } from '../../web/pages/working.ts'
import type { PlanNeed, PlotNeed } from './state.ts'

/** What the group settled on and the plot's own gauge, as lines of a need's working; empty where the book's defaults count. */
export function settingLines(need: PlotNeed, t: Translate, f: Format): WorkingLine[] {
  const { rainRule, monthTable, mostTurns, saltWashing } = need.settings
  const lines: WorkingLine[] = []
  if (need.gauge) {
    const { gauge, stoodIn } = need.gauge
    lines.push({
      label: t('planting.line.gauge'),
      value: t('planting.gauge-name', { number: gauge.number, name: gauge.name }),
      source: stoodIn.length > 0 ? t('planting.line.gauge-not-read', { days: stoodIn.length }) : '',
      href: `/crops/weather/gauges/${gauge.id}`,
    })
  }
  if (rainRule)
    lines.push({
      label: t('planting.line.rain-rule'),
      value: t('planting.line.rain-rule-value', {
        threshold: rainRule.thresholdMm,
        part: f.percent(rainRule.fraction),
      }),
      source: t(`planting.rain-rule.missingRain.${rainRule.missingRain}`),
      date: rainRule.fromOn,
      href: '/crops/settings',
    })
  if (mostTurns)
    lines.push({
      label: t('planting.line.most-turns'),
      value: String(mostTurns.turns),
      date: mostTurns.fromOn,
      href: '/crops/settings',
    })
  if (saltWashing && saltWashing.fraction > 0)
    lines.push({
      label: t('planting.salt.title'),
      value: f.percent(saltWashing.fraction),
      source: t('planting.line.salt-source'),
      date: saltWashing.fromOn,
      href: '/crops/settings',
    })
  if (monthTable)
    lines.push({
      label: t('planting.line.month-table'),
      value: t('planting.line.twelve'),
      source: monthTable.words,
      date: monthTable.fromOn,
      href: '/crops/settings',
    })
  return [...lines, ...localLines(need.plans[0], t, f)]
}

function localLines(plan: PlanNeed | undefined, t: Translate, f: Format): WorkingLine[] {
  if (!plan) return []
  const { climate, climateMissing, wetting, kcIniByWetting, mulch } = plan.local
  const lines: WorkingLine[] = []
  if (mulch && mulch.kind !== 'none')
    lines.push({
      label: t('planting.mulch.title'),
      value: t('planting.line.mulch', {
        kind: t(`planting.mulch.kind.${mulch.kind}`),
        part: f.percent(mulch.coverFraction),
      }),
      source: t('planting.line.mulch-source'),
      href: '/crops/settings',
    })
  if (climate)
    lines.push({
      label: t('planting.line.climate'),
      value: t('planting.line.climate-value', { wind: f.one(climate.windMPerS), humidity: f.whole(climate.rhMinPct) }),
      source: t('planting.line.climate-source', { days: climate.days }),
      href: '/crops/settings',
    })
  if (climateMissing)
    lines.push({ label: t('planting.line.climate'), value: '–', source: t('planting.line.climate-missing') })
  if (wetting && kcIniByWetting !== null)
    lines.push({
      label: t('planting.line.wetting'),
      value: f.two(kcIniByWetting),
      source: t('planting.line.wetting-source', {
        days: f.one(wetting.days),
        depth: f.one(wetting.depthMm),
        part: f.percent(wetting.wettedFraction),
      }),
      href: '/crops/settings',
    })
  return lines
}
