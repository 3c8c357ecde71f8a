import { bisectRight, group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Facts, freshId, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Plot {
  id: Id<'plot'>
  number: number
  name: string
  /** Where nobody taped it, the least that a plot may have. */
  areaM2: number
  isAreaKnown: boolean
  soil: string
  method: string
  shares: number
  outletIds: Id<'outlet'>[]
  /** Each with the part of one, where parts were written. */
  holders: { id: string; number: number; name: string; part: number | null }[]
}

/** Plots as they were described and held on a day: one list for all days between two changes, however many days of a log are gone through. */
export async function listPlots(db: Database, on: string): Promise<readonly Plot[]> {
  const days = await kept(db, 'days from which plots are otherwise', null, () => daysOfChange(db))
  const since = days[bisectRight(days, on) - 1] ?? ''
  return kept(db, 'plots', since, () => readPlots(db, since))
}

async function daysOfChange(db: Database): Promise<string[]> {
  const rows = [...(await plotRows(db)), ...(await holderRows(db))]
  return [...new Set(rows.map(({ fromOn }) => fromOn))].sort()
}

const plotRows = readTogether('people', (db) =>
  db
    .selectFrom('plotDetail')
    .innerJoin('plot', 'plot.entryId', 'plotDetail.plotId')
    .innerJoin('entry', 'entry.id', 'plotDetail.entryId')
    .selectAll('plotDetail')
    .select(['plot.number', 'plot.name', 'entry.seq'])
    .where(standing('plotDetail'))
    .orderBy('plot.number'),
)

const outletsOfPlots = readTogether('people', (db) => db.selectFrom('plotOutlet').selectAll())

async function readPlots(db: Database, on: string): Promise<readonly Plot[]> {
  const details = await plotRows(db)
  const outlets = group(await outletsOfPlots(db), ({ entryId }) => entryId)
  const untaped = await untapedPlots(db)
  const holders = group(await holderRows(db), ({ plotId }) => plotId)
  return latestOfEach(details, (row) => row.plotId, on).map((row) => ({
    id: row.plotId,
    number: row.number,
    name: row.name,
    areaM2: row.areaM2,
    isAreaKnown: !untaped.has(row.entryId),
    soil: row.soil,
    method: row.method,
    shares: row.shares,
    outletIds: (outlets.get(row.entryId) ?? []).map((link) => link.outletId),
    holders: heldOn(holders.get(row.plotId) ?? [], on),
  }))
}

const untaped = readTogether('people', (db) =>
  db.selectFrom('unmeasured').select('entryId').where('figure', '=', 'area'),
)

/** Descriptions of plots whose area nobody knew. */
async function untapedPlots(db: Database): Promise<Set<string>> {
  const rows = await untaped(db)
  return new Set(rows.map(({ entryId }) => entryId))
}

/** The persons who hold each plot on a day. */
export async function holderIdsOn(db: Database, on: string): Promise<Map<string, Id<'person'>[]>> {
  const byPlot = group(await holderRows(db), ({ plotId }) => plotId)
  return new Map([...byPlot].map(([plotId, own]) => [plotId, heldOn(own, on).map(({ id }) => id)]))
}

type HolderRow = Awaited<ReturnType<typeof holderRows>>[number]

const writtenHolders = readTogether('group', (db) =>
  db
    .selectFrom('plotHolder')
    .innerJoin('person', 'person.entryId', 'plotHolder.personId')
    .innerJoin('entry', 'entry.id', 'plotHolder.entryId')
    .leftJoin('holderPart', (join) =>
      join
        .onRef('holderPart.entryId', '=', 'plotHolder.entryId')
        .onRef('holderPart.personId', '=', 'plotHolder.personId'),
    )
    .select(['plotHolder.entryId', 'plotId', 'fromOn', 'plotHolder.personId', 'person.number', 'person.name', 'seq'])
    .select('holderPart.part')
    .where(standing('plotHolder'))
    .orderBy('person.number'),
)

function holderRows(db: Database) {
  return writtenHolders(db)
}

/** Those of a plot's rows that hold on a day. */
function heldOn(own: readonly HolderRow[], on: string) {
  const last = inForce(own, on)
  return own
    .filter((row) => row.entryId === last?.entryId)
    .map((row) => ({ id: row.personId, number: row.number, name: row.name, part: row.part }))
}

interface HolderSpell {
  fromOn: CalendarDate
  writtenAt: Instant
  names: string[]
}

/** Who held a plot from when, first to last. */
export async function holderHistory(db: Database, plotId: Id<'plot'>): Promise<HolderSpell[]> {
  const rows = (await holderRows(db)).filter((row) => row.plotId === plotId)
  const spells = new Map<string, HolderSpell>()
  for (const row of rows) {
    const spell: HolderSpell = spells.get(row.entryId) ?? { fromOn: row.fromOn, writtenAt: '', names: [] }
    spell.names.push(row.name)
    spells.set(row.entryId, spell)
  }
  return [...spells.values()].sort((a, b) => a.fromOn.localeCompare(b.fromOn))
}

interface PlotDetail {
  /** Null where nobody taped it. */
  areaM2: number | null
  soil: string
  method: string
  shares: number
  outletIds: readonly string[]
  fromOn: CalendarDate
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

/** A plot that nobody taped counts as no more than this where water is shared by land: the least that the form takes, m2. */
const LEAST_AREA_M2 = 1

export async function describePlot(pen: Pen, plotId: Id<'plot'>, detail: PlotDetail): Promise<string> {
  const { areaM2, soil, method, shares, outletIds, fromOn } = detail
  const plotDetail = { plotId, fromOn, areaM2: areaM2 ?? LEAST_AREA_M2, soil, method, shares }
  return appendEntry(
    pen,
    { kind: 'plot-detail' },
    {
      plotDetail: [plotDetail],
      unmeasured: areaM2 === null ? [{ figure: 'area' }] : [],
      plotOutlet: outletIds.map((outletId) => ({ plotId, outletId })),
    },
  )
}

/** Who holds a plot from a day on, and where they wrote parts, the part of each (of one) in the same order. */
export async function setHolders(
  pen: Pen,
  plotId: Id<'plot'>,
  personIds: readonly string[],
  fromOn: CalendarDate,
  parts: readonly number[] = [],
) {
  const rows = personIds.map((personId) => ({ plotId, personId, fromOn }))
  const holderPart = parts.map((part, at) => ({ personId: personIds[at]!, part }))
  return appendEntry(pen, { kind: 'holders' }, { plotHolder: rows, holderPart })
}

/** What a plot had received before the book began, for a group that starts in mid-season. */
export async function setReceivedBefore(
  pen: Pen,
  received: { plotId: Id<'plot'>; untilOn: CalendarDate; volumeM3: M3 },
  typed: Pick<Facts, 'typedVolume'> = {},
): Promise<string> {
  const row = { plotId: received.plotId, untilOn: received.untilOn, volumeM3: received.volumeM3 }
  return appendEntry(pen, { kind: 'received-before' }, { receivedBefore: [row], ...typed })
}

interface ReceivedBefore {
  id: string
  untilOn: CalendarDate
  volumeM3: M3
}

const receivedRows = readTogether('people', (db) =>
  db
    .selectFrom('receivedBefore')
    .innerJoin('entry', 'entry.id', 'receivedBefore.entryId')
    .select(['receivedBefore.entryId as id', 'plotId', 'untilOn', 'volumeM3'])
    .where(standing('receivedBefore'))
    .orderBy(asWritten),
)

/** The volume last written for each plot. */
export async function receivedBefore(db: Database): Promise<Map<string, ReceivedBefore>> {
  const rows = await receivedRows(db)
  return new Map(rows.map(({ plotId, ...before }) => [plotId, before]))
}
