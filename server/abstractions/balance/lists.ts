import type { CalendarDate } from '../../../domain/calendar.ts'
import { type M3, wholeLitres } from '../../../domain/units.ts'
import type { BalanceStretch } from '../../../domain/water/balance/stretches.ts'
import type { BalanceTotals } from '../../../domain/water/balance/totals.ts'
import type { SeasonBalance } from '../../water/balance/state.ts'
import type { Cell } from '../../web/figures/csv.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { Abstraction } from '../draw/store.ts'

interface List {
  columns: string[]
  rows: Cell[][]
}

const BALANCE_COLUMNS = [
  'weir',
  'from',
  'to',
  'days',
  'kind',
  'opening',
  'closing',
  'fall',
  'drawn',
  'loss',
  'recharge',
  'unexplained',
  'not-reckoned',
  'drawn-outside',
  'tolerance',
  'within',
  'remarks',
] as const

/** Every stretch, then the season of each weir, then of the group; volumes in m3 to the litre. */
export function balanceCsv(balance: SeasonBalance, t: Translate): List {
  const { fromOn, toOn, weirs, group } = balance
  const span = { fromOn, toOn, days: null, remarks: '' }
  return {
    columns: BALANCE_COLUMNS.map((column) => t(`abstractions.csv.${column}`)),
    rows: [
      ...weirs.flatMap(({ weir, stretches }) => stretches.map((stretch) => stretchRow(weir.name, stretch, t))),
      ...weirs.map(({ weir, totals }) => totalsRow(weir.name, t('abstractions.csv.season'), span, totals, t)),
      totalsRow(t('abstractions.balance.all-weirs'), t('abstractions.csv.season'), span, group, t),
    ],
  }
}

function stretchRow(weirName: string, stretch: BalanceStretch, t: Translate): Cell[] {
  const { fromOn, toOn, days, kind, reasons } = stretch
  const remarks = reasons.map((reason) => t(`abstractions.reason.${reason}`)).join(' ')
  const figures = { ...stretch, drawnOutsideM3: 0 }
  return totalsRow(weirName, t(`abstractions.kind.${kind}`), { fromOn, toOn, days, remarks }, figures, t)
}

type Figures = Pick<
  BalanceTotals,
  | 'openingM3'
  | 'closingM3'
  | 'drawnM3'
  | 'lossM3'
  | 'rechargeM3'
  | 'unexplainedM3'
  | 'notReckonedM3'
  | 'drawnOutsideM3'
  | 'toleranceM3'
  | 'withinTolerance'
>

function totalsRow(
  weirName: string,
  kind: string,
  span: { fromOn: CalendarDate; toOn: CalendarDate; days: number | null; remarks: string },
  figures: Figures,
  t: Translate,
): Cell[] {
  return [
    weirName,
    span.fromOn,
    span.toOn,
    span.days,
    kind,
    toLitre(figures.openingM3),
    toLitre(figures.closingM3),
    toLitre(figures.openingM3 - figures.closingM3),
    toLitre(figures.drawnM3),
    toLitre(figures.lossM3),
    toLitre(figures.rechargeM3),
    toLitre(figures.unexplainedM3),
    toLitre(figures.notReckonedM3),
    toLitre(figures.drawnOutsideM3),
    toLitre(figures.toleranceM3),
    t(figures.withinTolerance ? 'abstractions.csv.yes' : 'abstractions.csv.no'),
    span.remarks,
  ]
}

const DRAW_COLUMNS = [
  'on',
  'use',
  'weir',
  'pump',
  'outlet',
  'plot',
  'taker',
  'method',
  'opening-reading',
  'closing-reading',
  'hours',
  'flow',
  'start',
  'end',
  'volume',
  'uncertainty',
  'grade',
  'remark',
  'written-at',
  'written-by',
  'corrects',
  'reason',
  'entry',
] as const

/** The draws that stand, one a line. */
export function drawsCsv(draws: readonly Abstraction[], t: Translate): List {
  return {
    columns: DRAW_COLUMNS.map((column) => t(`abstractions.csv.${column}`)),
    rows: draws.map((draw) => [
      draw.onDate,
      t(`abstractions.use.${draw.use}`),
      draw.weirName,
      draw.pumpNumber,
      draw.outletNumber,
      draw.plotNumber,
      draw.takerName,
      t(`abstractions.way.${draw.method}`),
      draw.openingM3,
      draw.closingM3,
      draw.hours === null ? null : Math.round(draw.hours * 1e4) / 1e4,
      draw.flowM3PerH,
      draw.startTime,
      draw.endTime,
      toLitre(draw.volumeM3),
      toLitre(draw.uncertaintyM3),
      t(`abstractions.grade.${draw.grade}`),
      draw.remark,
      draw.writtenAt,
      draw.writerName,
      draw.correctsId,
      draw.reason,
      draw.id,
    ]),
  }
}

function toLitre(volumeM3: M3): number {
  return wholeLitres(volumeM3) / 1000 + 0
}
