import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { inForce, latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Plot {
  id: string
  number: number
  name: string
  areaM2: number
  soil: string
  method: string
  shares: number
  outletIds: string[]
  holders: { id: string; number: number; name: string }[]
}

/** Plots as they were described and held on a day. */
export async function listPlots(db: Database, on: string): Promise<Plot[]> {
  const details = await db
    .selectFrom('plot_detail')
    .innerJoin('plot', 'plot.entry_id', 'plot_detail.plot_id')
    .innerJoin('entry', 'entry.id', 'plot_detail.entry_id')
    .selectAll('plot_detail')
    .select(['plot.number', 'plot.name', 'entry.seq'])
    .where(standing('plot_detail'))
    .orderBy('plot.number')
    .execute()
  const outlets = await db.selectFrom('plot_outlet').selectAll().execute()
  const holders = await holderRows(db)
  return latestOfEach(details, (row) => row.plot_id, on).map((row) => ({
    id: row.plot_id,
    number: row.number,
    name: row.name,
    areaM2: row.area_m2,
    soil: row.soil,
    method: row.method,
    shares: row.shares,
    outletIds: outlets.filter((link) => link.entry_id === row.entry_id).map((link) => link.outlet_id),
    holders: holdersOn(holders, row.plot_id, on),
  }))
}

type HolderRow = Awaited<ReturnType<typeof holderRows>>[number]

function holderRows(db: Database) {
  return db
    .selectFrom('plot_holder')
    .innerJoin('person', 'person.entry_id', 'plot_holder.person_id')
    .innerJoin('entry', 'entry.id', 'plot_holder.entry_id')
    .select(['plot_holder.entry_id', 'plot_id', 'from_on', 'person_id', 'person.number', 'person.name', 'seq'])
    .where(standing('plot_holder'))
    .orderBy('person.number')
    .execute()
}

function holdersOn(rows: readonly HolderRow[], plotId: string, on: string) {
  const own = rows.filter((row) => row.plot_id === plotId)
  const last = inForce(own, on)
  return own
    .filter((row) => row.entry_id === last?.entry_id)
    .map((row) => ({ id: row.person_id, number: row.number, name: row.name }))
}

interface HolderSpell {
  fromOn: string
  writtenAt: string
  names: string[]
}

/** Who held a plot from when, first to last. */
export async function holderHistory(db: Database, plotId: string): Promise<HolderSpell[]> {
  const rows = (await holderRows(db)).filter((row) => row.plot_id === plotId)
  const spells = new Map<string, HolderSpell>()
  for (const row of rows) {
    const spell = spells.get(row.entry_id) ?? { fromOn: row.from_on, writtenAt: '', names: [] }
    spell.names.push(row.name)
    spells.set(row.entry_id, spell)
  }
  return [...spells.values()].sort((a, b) => a.fromOn.localeCompare(b.fromOn))
}

interface PlotDetail {
  areaM2: number
  soil: string
  method: string
  shares: number
  outletIds: readonly string[]
  fromOn: string
}

interface NewPlot extends PlotDetail {
  number: number
  name: string
  holderIds: readonly string[]
}

export async function addPlot(pen: Pen, plot: NewPlot): Promise<string> {
  const id = freshId(pen)
  await appendEntry(pen, { kind: 'plot' }, { plot: [{ number: plot.number, name: plot.name }] }, id)
  await describePlot(pen, id, plot)
  await setHolders(pen, id, plot.holderIds, plot.fromOn)
  return id
}

export async function describePlot(pen: Pen, plotId: string, detail: PlotDetail): Promise<string> {
  const { areaM2, soil, method, shares, outletIds, fromOn } = detail
  return appendEntry(
    pen,
    { kind: 'plot-detail' },
    {
      plot_detail: [{ plot_id: plotId, from_on: fromOn, area_m2: areaM2, soil, method, shares }],
      plot_outlet: outletIds.map((outlet_id) => ({ plot_id: plotId, outlet_id })),
    },
  )
}

export async function setHolders(pen: Pen, plotId: string, personIds: readonly string[], fromOn: string) {
  const rows = personIds.map((person_id) => ({ plot_id: plotId, person_id, from_on: fromOn }))
  return appendEntry(pen, { kind: 'holders' }, { plot_holder: rows })
}

/** What a plot had received before the book began, for a group that starts in mid-season. */
export async function setReceivedBefore(
  pen: Pen,
  received: { plotId: string; untilOn: string; volumeM3: number },
): Promise<string> {
  const row = { plot_id: received.plotId, until_on: received.untilOn, volume_m3: received.volumeM3 }
  return appendEntry(pen, { kind: 'received-before' }, { received_before: [row] })
}

/** The volume last written for each plot. */
export async function receivedBefore(db: Database): Promise<Map<string, { untilOn: string; volumeM3: number }>> {
  const rows = await db
    .selectFrom('received_before')
    .innerJoin('entry', 'entry.id', 'received_before.entry_id')
    .select(['plot_id', 'until_on', 'volume_m3'])
    .where(standing('received_before'))
    .orderBy('seq')
    .execute()
  return new Map(rows.map((row) => [row.plot_id, { untilOn: row.until_on, volumeM3: row.volume_m3 }]))
}
