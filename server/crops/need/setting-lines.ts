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
      label: t('need.line.gauge'),
      value: t('weather.gauge-name', { number: gauge.number, name: gauge.name }),
      source: stoodIn.length > 0 ? t('need.line.gauge-not-read', { days: stoodIn.length }) : '',
      href: `/crops/lines/gauge-rain/${gauge.id}`,
    })
  }
  if (rainRule)
    lines.push({
      label: t('need.line.rain-rule'),
      value: t('need.line.rain-rule-value', {
        threshold: rainRule.thresholdMm,
        part: f.percent(rainRule.fraction),
      }),
      source: t(`setting.rain-rule.missingRain.${rainRule.missingRain}`),
      date: rainRule.fromOn,
      href: '/crops/figures',
    })
  if (mostTurns)
    lines.push({
      label: t('need.line.most-turns'),
      value: String(mostTurns.turns),
      date: mostTurns.fromOn,
      href: '/crops/figures',
    })
  if (saltWashing && saltWashing.fraction > 0)
    lines.push({
      label: t('setting.salt.title'),
      value: f.percent(saltWashing.fraction),
      source: t('need.line.salt-source'),
      date: saltWashing.fromOn,
      href: '/crops/figures',
    })
  if (monthTable)
    lines.push({
      label: t('need.line.month-table'),
      value: t('need.line.twelve'),
      source: monthTable.words,
      date: monthTable.fromOn,
      href: '/crops/figures',
    })
  return [...lines, ...localLines(need.plans[0], t, f)]
}

function localLines(plan: PlanNeed | undefined, t: Translate, f: Format): WorkingLine[] {
  if (!plan) return []
  const { climate, climateMissing, wetting, kcIniByWetting, mulch } = plan.local
  const lines: WorkingLine[] = []
  if (mulch && mulch.kind !== 'none')
    lines.push({
      label: t('setting.mulch.title'),
      value: t('need.line.mulch', {
        kind: t(`setting.mulch.kind.${mulch.kind}`),
        part: f.percent(mulch.coverFraction),
      }),
      source: t('need.line.mulch-source'),
      href: '/crops/figures',
    })
  if (climate)
    lines.push({
      label: t('need.line.climate'),
      value: t('need.line.climate-value', { wind: f.one(climate.windMPerS), humidity: f.whole(climate.rhMinPct) }),
      source: t('need.line.climate-source', { days: climate.days }),
      href: '/crops/figures',
    })
  if (climateMissing) lines.push({ label: t('need.line.climate'), value: '–', source: t('need.line.climate-missing') })
  if (wetting && kcIniByWetting !== null)
    lines.push({
      label: t('need.line.wetting'),
      value: f.two(kcIniByWetting),
      source: t('need.line.wetting-source', {
        days: f.one(wetting.days),
        depth: f.one(wetting.depthMm),
        part: f.percent(wetting.wettedFraction),
      }),
      href: '/crops/figures',
    })
  return lines
}
