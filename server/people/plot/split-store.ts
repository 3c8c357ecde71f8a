import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { PlotSize } from '../../../domain/people/split.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { addPlot, describePlot, type Plot } from './store.ts'

interface NewSplit {
  plot: Plot
  number: number
  name: string
  holderIds: readonly string[]
  fromOn: CalendarDate
  stays: PlotSize
  goes: PlotSize
  minute: string | null
}

/** Makes two plots of one from a day on; both have its soil, its watering and its outlets. Gives the id of the new plot. */
export async function writeSplit(pen: Pen, split: NewSplit): Promise<string> {
  const { plot, number, name, holderIds, fromOn, stays, goes, minute } = split
  const { soil, method, outletIds } = plot
  const ground = { soil, method, outletIds, fromOn }
  const newPlotId = await addPlot(pen, { ...ground, ...goes, number, name, holderIds })
  await describePlot(pen, plot.id, { ...ground, ...stays })
  const row = {
    plotId: plot.id,
    newPlotId,
    splitOn: fromOn,
    areaM2: plot.areaM2,
    newAreaM2: goes.areaM2,
    shares: plot.shares,
    newShares: goes.shares,
  }
  await appendEntry(pen, { kind: 'plot-split' }, { plotSplit: [row], ...restingOn(minute) })
  return newPlotId
}

/** The splits in which a plot was the old one or became the new one, first to last. */
export async function splitsOf(db: Database, plotId: Id<'plot'>) {
  return db
    .selectFrom('plotSplit')
    .innerJoin('entry', 'entry.id', 'plotSplit.entryId')
    .innerJoin('plot as old', 'old.entryId', 'plotSplit.plotId')
    .innerJoin('plot as new', 'new.entryId', 'plotSplit.newPlotId')
    .selectAll('plotSplit')
    .select(['old.number as oldNumber', 'new.number as newNumber', 'entry.seq'])
    .where(standing('plotSplit'))
    .where(({ or, eb }) => or([eb('plotId', '=', plotId), eb('newPlotId', '=', plotId)]))
    .orderBy(asWritten)
    .execute()
}
