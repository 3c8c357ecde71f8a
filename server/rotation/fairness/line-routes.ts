import { type LinePlot, lineSharing, lineVolumes } from '../../../domain/rotation/fairness/line-sharing.ts'
import { turnHours } from '../../../domain/rotation/share/turn-hours.ts'
import { sum } from '../../../domain/sum.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets, listPumps, type Outlet, type Pump } from '../../works/pump/store.ts'
import { fillingMinutesOn, linePositionsOn } from '../constraint/line-store.ts'
import { holderNames } from '../plots.ts'
import { LineForm } from './forms.ts'

/** Head and tail of each pump's line side by side: the same hours, the same volume, and hours by land or shares. */
export function addLineSharingPages({ get }: Pages): void {
  get('/turns/fair?as=line', 'turns.see', showLines)
}

/** A round of three hours for each plot begins the page. Ours. */
const HOURS_A_PLOT = 3

async function showLines(desk: Desk) {
  const { db, today, query } = desk
  const pumps = await listPumps(db, today)
  const pump = pumps.find(({ id }) => id === query.pumpId) ?? pumps[0]
  const line = pump ? await plotsOfLine(desk, pump) : []
  const tested = line.filter(({ flowM3PerH }) => flowM3PerH > 0)
  const beginning = { pumpId: pump?.id ?? '', hours: String(HOURS_A_PLOT * tested.length), draining: '0', by: 'area' }
  const read = readForm(LineForm, { ...beginning, ...query })
  if (!read.ok) desk.reply.code(422)
  const shared = read.ok && tested.length > 1 ? lineSharing({ hours: read.data.hours, plots: tested }) : null
  return page(desk, 'rotation/fairness/lines', {
    title: 'line.title',
    form: LineForm,
    filled: read,
    options: { pumpId: pumps.map(numberedOption) },
    untested: line.filter(({ flowM3PerH }) => !(flowM3PerH > 0)).map(({ plot }) => plot.number),
    unplaced: tested.filter(({ position }) => position === null).map(({ plot }) => plot.number),
    tooShort: read.ok && tested.length > 1 && !shared,
    shown: read.ok && shared ? await sharedShown(desk, { plots: tested, shared, asked: read.data }) : null,
  })
}

interface Asked {
  plots: PlacedPlot[]
  shared: Shared
  asked: { hours: number; draining: number; by: 'area' | 'shares' }
}

async function sharedShown(desk: Desk, { plots, shared, asked }: Asked) {
  const { hours, draining, by } = asked
  const bySize = hoursBySize(plots, { hours, drainingHours: draining / 60, by })
  return {
    by,
    rows: plots.map((one, at) => rowOf(desk, one, [shared.sameHours, shared.sameVolume, bySize], at)),
    ends: endsOf(desk, plots, shared),
    prices: await pricesOf(desk, shared),
  }
}

interface PlacedPlot extends LinePlot {
  plot: Plot
  outlet: Outlet
  position: number | null
}

/** The plots that the pump serves, from the head of its line to the tail; those without a place by their numbers at the end. */
async function plotsOfLine({ db, today }: Desk, pump: Pump): Promise<PlacedPlot[]> {
  const positions = await linePositionsOn(db, today)
  const filling = await fillingMinutesOn(db, today)
  const outlets = (await listOutlets(db, today)).filter((outlet) => outlet.pumpId === pump.id)
  return (await listPlots(db, today))
    .flatMap((plot): PlacedPlot[] => {
      const outlet = outlets.find(({ id }) => plot.outletIds.includes(id))
      if (!outlet) return []
      const flowM3PerH = Math.min(outlet.flowM3PerH ?? 0, pump.usualFlowM3PerH)
      const fillingHours = (filling[outlet.id] ?? 0) / 60
      return [{ plotId: plot.id, plot, outlet, flowM3PerH, fillingHours, position: positions[plot.id] ?? null }]
    })
    .sort((a, b) => (a.position ?? Infinity) - (b.position ?? Infinity) || a.plot.number - b.plot.number)
}

/** Hours by land or shares, the last plot with what still runs out of the line. */
function hoursBySize(
  plots: PlacedPlot[],
  { hours, drainingHours, by }: { hours: number; drainingHours: number; by: string },
) {
  const members = plots.map(({ plot, fillingHours }, at) => ({
    size: by === 'area' ? plot.areaM2 : plot.shares,
    fillingHours,
    drainingHours: at === plots.length - 1 ? drainingHours : 0,
  }))
  if (!(sum(members, ({ size }) => size) > 0)) return null
  const { turns } = turnHours({ periodHours: hours, members })
  // More runs out of the line than the last plot is due: no turn of less than nothing is told.
  if (turns.at(-1)! < 0) return null
  // What still runs out of the line is water of the last one's too.
  const running = plots.map((one, at) => ({ ...one, fillingHours: one.fillingHours - members[at]!.drainingHours }))
  return lineVolumes(running, turns)
}

type Sharing = ReturnType<typeof lineVolumes>

function rowOf({ format }: Desk, { plot, outlet, flowM3PerH }: PlacedPlot, ways: (Sharing | null)[], at: number) {
  return {
    plot,
    names: holderNames(plot),
    outletNumber: outlet.number,
    flow: format.two(flowM3PerH),
    ways: ways.map((way) => {
      const turn = way?.turns[at]
      return turn
        ? { hours: format.duration(turn.hours), volume: format.tenth(turn.volumeM3) }
        : { hours: '–', volume: '–' }
    }),
  }
}

type Shared = NonNullable<ReturnType<typeof lineSharing>>

/** What an hour at the tail brings of an hour at the head, and what equal volumes cost all together. */
function endsOf({ format }: Desk, plots: PlacedPlot[], { sameHours, sameVolume }: Shared) {
  const [head, tail] = [plots[0]!, plots.at(-1)!]
  const lostM3 = sameHours.volumeM3 - sameVolume.volumeM3
  return {
    values: {
      head: head.plot.number,
      tail: tail.plot.number,
      headFlow: format.two(head.flowM3PerH),
      tailFlow: format.two(tail.flowM3PerH),
      part: format.percent(tail.flowM3PerH / head.flowM3PerH),
      hours: format.duration(sameHours.turns[0]!.hours),
      headVolume: format.tenth(sameHours.turns[0]!.volumeM3),
      tailVolume: format.tenth(sameHours.turns.at(-1)!.volumeM3),
      volume: format.tenth(sameVolume.turns[0]!.volumeM3),
      headHours: format.duration(sameVolume.turns[0]!.hours),
      tailHours: format.duration(sameVolume.turns.at(-1)!.hours),
    },
    cost: {
      lost: format.tenth(Math.abs(lostM3)),
      part: format.percent(Math.abs(lostM3) / sameHours.volumeM3),
      allHours: format.tenth(sameHours.volumeM3),
      allVolume: format.tenth(sameVolume.volumeM3),
      is: Math.abs(lostM3) < 0.05 ? 'none' : lostM3 > 0 ? 'less' : 'more',
    },
  }
}

/**
 * A cubic metre at the head and at the tail where hours are paid; by the volume it costs the same everywhere. A
 * neighbour, who sees no money, is told nothing of a price, nor that there is none.
 */
async function pricesOf({ db, today, parts, group, locale, may }: Desk, { sameHours }: Shared) {
  if (!may('tariff.see')) return null
  const { perPumpHourMinor, perM3Minor } = await parts.rotation.pricesOn(db, today)
  const { inRow, money } = moneyWords({ group, locale })
  const [head, tail] = [sameHours.turns[0]!, sameHours.turns.at(-1)!]
  const ofM3 = ({ hoursPerM3 }: typeof head, shown: (amountMinor: number) => string) =>
    hoursPerM3 === null || perPumpHourMinor === null ? '–' : shown(Math.round(perPumpHourMinor * hoursPerM3))
  return {
    kind: perPumpHourMinor === null ? (perM3Minor === null ? 'none' : 'volume') : 'hours',
    values: {
      hour: money(perPumpHourMinor ?? 0),
      head: ofM3(head, money),
      tail: ofM3(tail, money),
      m3: money(perM3Minor ?? 0),
    },
    inRow: { head: ofM3(head, inRow), tail: ofM3(tail, inRow), m3: inRow(perM3Minor ?? 0) },
  }
}
