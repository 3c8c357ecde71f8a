import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Mulch } from '../../../domain/crops/crop/mulch.ts'
import type { MethodState } from '../../../domain/crops/data/irrigation-methods.ts'
import type { RainRule } from '../../../domain/crops/demand/rain.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export const MISSING_RAIN = ['cannot-say', 'counts-nothing'] as const
type MissingRain = (typeof MISSING_RAIN)[number]

interface GroupRainRule extends RainRule {
  fromOn: CalendarDate
  missingRain: MissingRain
}

/** What bends the table's coefficients to the place; each only where the group turned it on. */
interface CoefficientRule {
  fromOn: CalendarDate
  /** Mid-season and end values by the measured wind and humidity. */
  byClimate: boolean
  /** The first stage by how often and how deep it is watered. */
  wetting: { days: number; depthMm: number } | null
  /** Only the part of the ground that the method wets counts as wetted. */
  wettedPart: boolean
}

interface MonthTable {
  fromOn: CalendarDate
  words: string
  /** January first. */
  etoMmPerDay: number[]
}

interface DemandRule {
  fromOn: string
  /** Degrees by which the dew point lies below the lowest temperature, where no humidity was read. */
  dryAirC: number
  /** What the demand by temperatures alone is multiplied by; null: as it is printed. */
  hargreavesFactor: number | null
}

/** What the group settled on for reckoning with crops, as it holds on a day. All empty: the book's own defaults. */
export interface CropSettings {
  rainRule: GroupRainRule | null
  monthTable: MonthTable | null
  coefficientRule: CoefficientRule | null
  /** How the demand of the air is reckoned where little was read. */
  demandRule: DemandRule | null
  /** The part of what is brought that is to sink through and wash salt out of the ground. */
  saltWashing: { fromOn: CalendarDate; fraction: number } | null
  /** The most turns that a plot gets in a week. */
  mostTurns: { fromOn: CalendarDate; turns: number } | null
  /** Gauge of each plot that has one of its own. */
  gaugeOfPlot: Map<string, string>
  stateOfPlot: Map<string, { state: MethodState; fromOn: CalendarDate }>
  mulchOfPlot: Map<string, Mulch & { fromOn: CalendarDate }>
}

export async function cropSettings(db: Database, on: string): Promise<CropSettings> {
  return {
    rainRule: await rainRuleOn(db, on),
    monthTable: await monthTableOn(db, on),
    coefficientRule: await coefficientRuleOn(db, on),
    demandRule: inForce(await dated(db, 'demandRule'), on) ?? null,
    saltWashing: inForce(await dated(db, 'saltWashing'), on) ?? null,
    mostTurns: inForce(await dated(db, 'mostTurns'), on) ?? null,
    gaugeOfPlot: await gaugesOfPlots(db, on),
    stateOfPlot: await statesOfPlots(db, on),
    mulchOfPlot: await mulchOfPlots(db, on),
  }
}

const DATED = [
  'rainRule',
  'monthTable',
  'coefficientRule',
  'demandRule',
  'mostTurns',
  'saltWashing',
  'plotGauge',
  'plotMulch',
  'plotState',
] as const

const datedRows = new Map(
  DATED.map((table) => [
    table,
    readTogether('crops', (db) =>
      db
        .selectFrom(table as 'rainRule')
        .innerJoin('entry', 'entry.id', `${table as 'rainRule'}.entryId`)
        .selectAll(table as 'rainRule')
        .select('entry.seq')
        .where(standing(table)),
    ),
  ]),
)

/** Rows of a dated table that stand, with the order in which they were written. */
function dated<T extends (typeof DATED)[number]>(db: Database, table: T) {
  return datedRows.get(table)!(db) as unknown as Promise<
    (import('../../database/schema.ts').FactTables[T] & { seq: number })[]
  >
}

async function rainRuleOn(db: Database, on: string): Promise<GroupRainRule | null> {
  const row = inForce(await dated(db, 'rainRule'), on)
  if (!row) return null
  const { fromOn, thresholdMm, fraction, missingRain } = row
  return { fromOn, thresholdMm, fraction, missingRain: missingRain as MissingRain }
}

const monthRows = readTogether('crops', (db) => db.selectFrom('monthEvaporation').selectAll().orderBy('month'))

async function monthTableOn(db: Database, on: string): Promise<MonthTable | null> {
  const row = inForce(await dated(db, 'monthTable'), on)
  if (!row) return null
  const months = (await monthRows(db)).filter(({ entryId }) => entryId === row.entryId)
  return { fromOn: row.fromOn, words: row.words, etoMmPerDay: months.map((month) => month.etoMmPerDay) }
}

async function coefficientRuleOn(db: Database, on: string): Promise<CoefficientRule | null> {
  const row = inForce(await dated(db, 'coefficientRule'), on)
  if (!row) return null
  const { wettingDays: days, wettingMm: depthMm } = row
  const wetting = days === null || depthMm === null ? null : { days, depthMm }
  return { fromOn: row.fromOn, byClimate: row.byClimate === 1, wetting, wettedPart: row.wettedPart === 1 }
}

async function gaugesOfPlots(db: Database, on: string): Promise<Map<string, string>> {
  const rows = await dated(db, 'plotGauge')
  return new Map(
    [...new Set(rows.map((row) => row.plotId))].flatMap((plotId) => {
      const gaugeId = inForce(
        rows.filter((row) => row.plotId === plotId),
        on,
      )?.gaugeId
      return gaugeId ? [[plotId, gaugeId] as const] : []
    }),
  )
}

async function statesOfPlots(db: Database, on: string): Promise<CropSettings['stateOfPlot']> {
  const rows = await dated(db, 'plotState')
  return new Map(
    [...new Set(rows.map((row) => row.plotId))].flatMap((plotId) => {
      const row = inForce(
        rows.filter((one) => one.plotId === plotId),
        on,
      )
      return row ? [[plotId, { state: row.state as MethodState, fromOn: row.fromOn }] as const] : []
    }),
  )
}

async function mulchOfPlots(db: Database, on: string): Promise<CropSettings['mulchOfPlot']> {
  const byPlot = group(await dated(db, 'plotMulch'), (row) => row.plotId as string)
  return new Map(
    [...byPlot].flatMap(([plotId, rows]) => {
      const row = inForce(rows, on)
      if (!row) return []
      const { fromOn, coverFraction } = row
      return [[plotId, { fromOn, kind: row.kind as Mulch['kind'], coverFraction }] as const]
    }),
  )
}

export async function setPlotMulch(
  pen: Pen,
  { plotId, fromOn, kind, coverFraction }: Mulch & { plotId: Id<'plot'>; fromOn: CalendarDate },
): Promise<string> {
  return appendEntry(pen, { kind: 'plot-mulch' }, { plotMulch: [{ plotId, fromOn, kind, coverFraction }] })
}

export async function setRainRule(pen: Pen, rule: GroupRainRule): Promise<string> {
  const { fromOn, thresholdMm, fraction, missingRain } = rule
  const row = { fromOn, thresholdMm, fraction, missingRain }
  return appendEntry(pen, { kind: 'rain-rule' }, { rainRule: [row] })
}

export async function setMonthTable(pen: Pen, { fromOn, words, etoMmPerDay }: MonthTable): Promise<string> {
  const months = etoMmPerDay.map((mm, at) => ({ month: at + 1, etoMmPerDay: mm }))
  const facts = { monthTable: [{ fromOn, words }], monthEvaporation: months }
  return appendEntry(pen, { kind: 'month-table' }, facts)
}

export async function setCoefficientRule(pen: Pen, rule: CoefficientRule): Promise<string> {
  const row = {
    fromOn: rule.fromOn,
    byClimate: rule.byClimate ? 1 : 0,
    wettingDays: rule.wetting?.days ?? null,
    wettingMm: rule.wetting?.depthMm ?? null,
    wettedPart: rule.wettedPart ? 1 : 0,
  }
  return appendEntry(pen, { kind: 'coefficient-rule' }, { coefficientRule: [row] })
}

export async function setDemandRule(pen: Pen, { fromOn, dryAirC, hargreavesFactor }: DemandRule): Promise<string> {
  return appendEntry(pen, { kind: 'demand-rule' }, { demandRule: [{ fromOn, dryAirC, hargreavesFactor }] })
}

export async function setMostTurns(
  pen: Pen,
  { fromOn, turns }: { fromOn: CalendarDate; turns: number },
): Promise<string> {
  return appendEntry(pen, { kind: 'most-turns' }, { mostTurns: [{ fromOn, turns }] })
}

export async function setSaltWashing(
  pen: Pen,
  { fromOn, fraction }: { fromOn: CalendarDate; fraction: number },
): Promise<string> {
  return appendEntry(pen, { kind: 'salt-washing' }, { saltWashing: [{ fromOn, fraction }] })
}

export async function setPlotGauge(
  pen: Pen,
  plotId: Id<'plot'>,
  gaugeId: Id<'gauge'> | null,
  fromOn: CalendarDate,
): Promise<string> {
  const row = { plotId, fromOn, gaugeId }
  return appendEntry(pen, { kind: 'plot-gauge' }, { plotGauge: [row] })
}

export async function setPlotState(
  pen: Pen,
  plotId: Id<'plot'>,
  state: MethodState,
  fromOn: CalendarDate,
): Promise<string> {
  return appendEntry(pen, { kind: 'plot-state' }, { plotState: [{ plotId, fromOn, state }] })
}
