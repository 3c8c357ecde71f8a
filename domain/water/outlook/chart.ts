import type { CalendarDate } from '../../calendar.ts'
import type { M3 } from '../../units.ts'

interface ChartLine {
  name: string
  valuesM3: readonly number[]
}

interface OutlookChart {
  width: number
  height: number
  plot: { left: number; right: number; top: number; bottom: number }
  /** The first day of each month within the span. */
  months: { x: number; date: CalendarDate }[]
  steps: { y: number; m3: M3 }[]
  /** Corner points `x,y x,y` of the area between the first line and the second. */
  band: string | null
  lines: { name: string; points: string; endX: number; endY: number }[]
}

/** Geometry of a chart of water by day, from which a view draws it. */
export function outlookChart({
  dates,
  lines,
  bandBetween,
  width = 400,
  height = 220,
}: {
  dates: readonly CalendarDate[]
  lines: readonly ChartLine[]
  bandBetween?: readonly [ChartLine, ChartLine]
  width?: number
  height?: number
}): OutlookChart {
  const plot = { left: 44, right: width - 12, top: 14, bottom: height - 26 }
  const mostM3 = Math.max(0, ...[...lines, ...(bandBetween ?? [])].flatMap(({ valuesM3 }) => [...valuesM3]))
  const stepM3 = niceStep(mostM3)
  const topM3 = Math.max(stepM3, Math.ceil(mostM3 / stepM3) * stepM3)
  const tenth = (value: number) => Math.round(value * 10) / 10
  const x = (day: number) => tenth(plot.left + ((plot.right - plot.left) * day) / Math.max(1, dates.length - 1))
  const y = (m3: M3) => tenth(plot.bottom - ((plot.bottom - plot.top) * m3) / topM3)
  const corners = ({ valuesM3 }: ChartLine) => valuesM3.map((m3, day) => `${x(day)},${y(m3)}`)
  return {
    width,
    height,
    plot,
    months: dates.flatMap((date, day) => (date.endsWith('-01') ? [{ x: x(day), date }] : [])),
    steps: Array.from({ length: Math.round(topM3 / stepM3) + 1 }, (_, i) => ({ y: y(i * stepM3), m3: i * stepM3 })),
    band: bandBetween ? [...corners(bandBetween[0]), ...corners(bandBetween[1]).reverse()].join(' ') : null,
    lines: lines.map((line) => {
      const endM3 = line.valuesM3.at(-1) ?? 0
      return { name: line.name, points: corners(line).join(' '), endX: x(line.valuesM3.length - 1), endY: y(endM3) }
    }),
  }
}

/** 1, 2 or 5 times a power of ten, so that at most five steps stand on the axis. */
function niceStep(mostM3: M3): number {
  if (!(mostM3 > 0)) return 1
  const power = 10 ** Math.floor(Math.log10(mostM3 / 5))
  return power * (([1, 2, 5, 10] as const).find((times) => mostM3 / (times * power) <= 5) ?? 10)
}
