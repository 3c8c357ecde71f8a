import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { ListLine } from '../../web/pages/long-list.ts'
import { cropNamer } from '../crop/words.ts'
import type { PlannedCrop } from '../plan/store.ts'
import type { PlotNeed } from './state.ts'

export interface PlotRow {
  plot: Plot
  need: PlotNeed
  overdue: readonly (PlannedCrop & { crop: NonNullable<PlannedCrop['crop']> })[]
  /** Days until the crop suffers, in words; null where nothing can be said. */
  left: string | null
}

interface Shown {
  rows: readonly PlotRow[]
  weekStartOn: CalendarDate
  own: ReadonlySet<Id<'plot'>>
}

/** A line a plot, whose crop suffers first on top: what grows there, for how long its water lasts, and what it needs this week. */
export function needLines(desk: Desk, { rows, weekStartOn, own }: Shown): ListLine[] {
  return rows
    .toSorted((a, b) => daysOf(a) - daysOf(b) || a.plot.number - b.plot.number)
    .map((row) => ({
      at: row.plot.number,
      words: `${row.plot.name}, ${row.plot.holders.map(({ name }) => name).join(', ')}`,
      small: growsWords(desk, row),
      ...overdueWords(desk, row),
      ...figures(desk, row),
      href: `/crops/needs/${row.plot.id}?week=${weekStartOn}`,
      isOwn: own.has(row.plot.id),
    }))
}

/** Where something can be said; then what cannot be said, and last where nothing grows. */
function daysOf({ need }: PlotRow): number {
  if (need.plans.length === 0) return Number.POSITIVE_INFINITY
  return need.daysLeft?.likely ?? 1000
}

function growsWords({ t, locale }: Desk, { need }: PlotRow): string {
  const nameOf = cropNamer(locale)
  const names = need.plans.map(({ crop, result }) => {
    const stage = result.known && result.stage ? `, ${t(`crops.stage.${result.stage}`)}` : ''
    return `${nameOf(crop)}${stage}`
  })
  return names.join('; ') || t('crops.nothing-grows')
}

function overdueWords({ t, locale }: Desk, { overdue }: PlotRow): Pick<ListLine, 'strong'> {
  const nameOf = cropNamer(locale)
  const words = [...group(overdue, ({ makesWayOn }) => (makesWayOn ? 'crops.made-way' : 'crops.overdue'))].map(
    ([why, plans]) => `${plans.map(({ crop }) => nameOf(crop)).join(', ')}: ${t(why)}`,
  )
  return words.length > 0 ? { strong: words.join(' ') } : {}
}

/** The volume to bring is the figure; how many days are left stands under it, since both are needed at the plot. */
function figures({ t, format }: Desk, { need, left }: PlotRow): Pick<ListLine, 'figure' | 'under'> {
  if (need.plans.length === 0) return {}
  const days = left ?? t('crops.not-known')
  if (need.need === null) return { figure: t('crops.cannot-say'), under: days }
  return {
    figure: t('crops.need-figure', { volume: format.volumeRange(need.need.lowM3, need.need.highM3) }),
    under: days,
  }
}
