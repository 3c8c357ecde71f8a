import type { Desk } from '../../web/pages/desk.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import type { Gauged } from './state.ts'
import type { Gauging } from './store.ts'

/** How the flow of one gauging was worked out. */
export function gaugingWorking(gauging: Gauging, flow: Gauged | null, desk: Desk): Omit<Working, 'title'> {
  const { t } = desk
  const f = desk.format
  const { method, onDate } = gauging
  const perSecond = (m3PerH: number) => f.one(m3PerH / 3.6)
  const result = flow
    ? t('stream.gauging.result', {
        low: f.volume(flow.flowM3PerH.low),
        likely: f.volume(flow.flowM3PerH.likely),
        high: f.volume(flow.flowM3PerH.high),
        litres: perSecond(flow.flowM3PerH.likely),
      })
    : t('stream.gauging.no-water')
  return {
    result,
    doubt: flow ? t('stream.gauging.doubt', { percent: f.percent(flow.doubt), date: f.date(onDate) }) : '',
    lines: method === 'float' ? floatLines(gauging, flow, desk) : bucketLines(gauging, flow, desk),
    equation: t(`stream.gauging.equation-${method}`),
    source: t(`stream.gauging.source-${method}`),
  }
}

function floatLines(gauging: Gauging, flow: Gauged | null, { t, format: f }: Desk): WorkingLine[] {
  const { lengthM, seconds, points, onDate, surfaceFactor } = gauging
  const reckoned: WorkingLine[] =
    flow && 'areaM2' in flow
      ? [
          { label: t('stream.gauging.area'), value: `${f.two(flow.areaM2)} m²` },
          { label: t('stream.gauging.velocity'), value: `${f.two(flow.surfaceVelocityMPerS)} m/s` },
          {
            label: t('stream.gauging.factor'),
            value: f.two(flow.surfaceFactor),
            source: t(surfaceFactor === null ? 'stream.gauging.source-factor-usual' : 'stream.gauging.factor-own'),
          },
        ]
      : []
  return [
    { label: t('stream.gauging.length-line'), value: `${f.one(lengthM!)} m`, date: onDate },
    { label: t('stream.gauging.times-line'), value: `${seconds.map((one) => f.one(one)).join('; ')} s` },
    {
      label: t('stream.gauging.soundings-line'),
      value: points.map(({ offsetM, depthM }) => `${f.two(offsetM)}: ${f.two(depthM)} m`).join('; '),
    },
    ...reckoned,
    ...doubtLines(flow, { t, f }),
  ]
}

function bucketLines(gauging: Gauging, flow: Gauged | null, { t, format: f }: Desk): WorkingLine[] {
  const { litres, seconds, onDate } = gauging
  return [
    { label: t('stream.gauging.litres'), value: `${f.one(litres!)} L`, date: onDate },
    { label: t('stream.gauging.times-line'), value: `${seconds.map((one) => f.one(one)).join('; ')} s` },
    ...doubtLines(flow, { t, f }),
  ]
}

function doubtLines(flow: Gauged | null, { t, f }: { t: Desk['locale']['t']; f: Desk['format'] }): WorkingLine[] {
  return Object.entries(flow?.doubtParts ?? {}).map(([name, part]) => ({
    label: t(`stream.gauging.doubt-${name}`),
    value: `± ${f.percent(part)}`,
  }))
}
