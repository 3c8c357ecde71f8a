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

type Words = Pick<Desk, 't' | 'format' | 'locale' | 'may'>

interface Shown {
  rows: readonly PlotRow[]
  weekStartOn: CalendarDate
  own: ReadonlySet<Id<'plot'>>
}

/** A line a plot, whose crop suffers first on top: what grows there, for how long its water lasts, and what it needs this week. */
export function needLines(desk: Words, { rows, weekStartOn, own }: Shown): ListLine[] {
  return rows
    .toSorted((a, b) => daysOf(a) - daysOf(b) || a.plot.number - b.plot.number)
    .map((row) => ({
      at: row.plot.number,
      words: `${row.plot.name}, ${row.plot.holders.map(({ name }) => name).join(', ')}`,
      small: growsWords(desk, row),
      ...overdueWords(desk, row),
      ...figures(desk, row),
      href: doorOf(desk, row) ?? `/crops/plots/${row.plot.id}?week=${weekStartOn}`,
      isOwn: own.has(row.plot.id),
    }))
}

/** Where all that grew is over by the book, the line leads to where somebody may say so. */
function doorOf({ may }: Words, { need, overdue }: PlotRow): string | null {
  const [first] = overdue
  if (!first || need.plans.length > 0 || !may('crops.declare')) return null
  return `/crops/plans/${first.id}/end`
}

/** Where something can be said; then what cannot be said, and last where nothing grows. */
function daysOf({ need }: PlotRow): number {
  if (need.plans.length === 0) return Number.POSITIVE_INFINITY
  return need.daysLeft?.likely ?? 1000
}

function growsWords({ t, locale }: Words, { need, left }: PlotRow): string {
  const nameOf = cropNamer(locale)
  const names = need.plans.map(({ crop, result }) => {
    const stage = result.known && result.stage ? `, ${t(`crops.stage.${result.stage}`)}` : ''
    return `${nameOf(crop)}${stage}`
  })
  if (names.length === 0) return t('crops.nothing-grows')
  return `${left ?? t('crops.not-known')} · ${names.join('; ')}`
}

function overdueWords({ t, locale }: Words, { overdue }: PlotRow): Pick<ListLine, 'strong'> {
  const nameOf = cropNamer(locale)
  const words = [...group(overdue, ({ makesWayOn }) => (makesWayOn ? 'crops.made-way' : 'crops.overdue'))].map(
    ([why, plans]) => `${plans.map(({ crop }) => nameOf(crop)).join(', ')}: ${t(why)}`,
  )
  return words.length > 0 ? { strong: words.join(' ') } : {}
}

/** What to bring, as people count it and in m3; nothing where nothing grows. */
function figures({ t, format }: Words, { need }: PlotRow): Pick<ListLine, 'figure' | 'under'> {
  if (need.plans.length === 0) return { figure: '0' }
  if (need.need === null) return { figure: t('crops.cannot-say') }
  const { lowM3, highM3 } = need.need
  return {
    figure: `${format.jerrycans(lowM3)}–${format.jerrycans(highM3)}`,
    under: t('crops.need-figure', { volume: format.volumeRange(lowM3, highM3) }),
  }
}
