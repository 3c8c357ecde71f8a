import type { MethodState } from '../../../domain/crops/data/irrigation-methods.ts'
import type { RainRule } from '../../../domain/crops/demand/rain.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export const MISSING_RAIN = ['cannot-say', 'counts-nothing'] as const
type MissingRain = (typeof MISSING_RAIN)[number]

interface GroupRainRule extends RainRule {
  fromOn: string
  missingRain: MissingRain
}

/** What bends the table's coefficients to the place; each only where the group turned it on. */
interface CoefficientRule {
  fromOn: string
  /** Mid-season and end values by the measured wind and humidity. */
  byClimate: boolean
  /** The first stage by how often and how deep it is watered. */
  wetting: { days: number; depthMm: number } | null
  /** Only the part of the ground that the method wets counts as wetted. */
  wettedPart: boolean
}

interface MonthTable {
  fromOn: string
  words: string
  /** January first. */
  etoMmPerDay: number[]
}

/** What the group settled on for reckoning with crops, as it holds on a day. All empty: the book's own defaults. */
export interface CropSettings {
  rainRule: GroupRainRule | null
  monthTable: MonthTable | null
  coefficientRule: CoefficientRule | null
  /** Gauge of each plot that has one of its own. */
  gaugeOfPlot: Map<string, string>
  stateOfPlot: Map<string, { state: MethodState; fromOn: string }>
}

export async function cropSettings(db: Database, on: string): Promise<CropSettings> {
  return {
    rainRule: await rainRuleOn(db, on),
    monthTable: await monthTableOn(db, on),
    coefficientRule: await coefficientRuleOn(db, on),
    gaugeOfPlot: await gaugesOfPlots(db, on),
    stateOfPlot: await statesOfPlots(db, on),
  }
}

/** Rows of a dated table that stand, with the order in which they were written. */
function dated<T extends 'rain_rule' | 'month_table' | 'coefficient_rule' | 'plot_gauge' | 'plot_state'>(
  db: Database,
  table: T,
) {
  return db
    .selectFrom(table as 'rain_rule')
    .innerJoin('entry', 'entry.id', `${table as 'rain_rule'}.entry_id`)
    .selectAll(table as 'rain_rule')
    .select('entry.seq')
    .where(standing(table as 'rain_rule'))
    .execute() as unknown as Promise<(import('../../database/schema.ts').FactTables[T] & { seq: number })[]>
}

async function rainRuleOn(db: Database, on: string): Promise<GroupRainRule | null> {
  const row = inForce(await dated(db, 'rain_rule'), on)
  if (!row) return null
  const { from_on: fromOn, threshold_mm: thresholdMm, fraction, missing_rain } = row
  return { fromOn, thresholdMm, fraction, missingRain: missing_rain as MissingRain }
}

async function monthTableOn(db: Database, on: string): Promise<MonthTable | null> {
  const row = inForce(await dated(db, 'month_table'), on)
  if (!row) return null
  const months = await db
    .selectFrom('month_evaporation')
    .select('eto_mm_per_day')
    .where('entry_id', '=', row.entry_id)
    .orderBy('month')
    .execute()
  return { fromOn: row.from_on, words: row.words, etoMmPerDay: months.map((month) => month.eto_mm_per_day) }
}

async function coefficientRuleOn(db: Database, on: string): Promise<CoefficientRule | null> {
  const row = inForce(await dated(db, 'coefficient_rule'), on)
  if (!row) return null
  const { wetting_days: days, wetting_mm: depthMm } = row
  const wetting = days === null || depthMm === null ? null : { days, depthMm }
  return { fromOn: row.from_on, byClimate: row.by_climate === 1, wetting, wettedPart: row.wetted_part === 1 }
}

async function gaugesOfPlots(db: Database, on: string): Promise<Map<string, string>> {
  const rows = await dated(db, 'plot_gauge')
  return new Map(
    [...new Set(rows.map((row) => row.plot_id))].flatMap((plotId) => {
      const gaugeId = inForce(
        rows.filter((row) => row.plot_id === plotId),
        on,
      )?.gauge_id
      return gaugeId ? [[plotId, gaugeId] as const] : []
    }),
  )
}

async function statesOfPlots(db: Database, on: string): Promise<CropSettings['stateOfPlot']> {
  const rows = await dated(db, 'plot_state')
  return new Map(
    [...new Set(rows.map((row) => row.plot_id))].flatMap((plotId) => {
      const row = inForce(
        rows.filter((one) => one.plot_id === plotId),
        on,
      )
      return row ? [[plotId, { state: row.state as MethodState, fromOn: row.from_on }] as const] : []
    }),
  )
}

export async function setRainRule(pen: Pen, rule: GroupRainRule): Promise<string> {
  const { fromOn, thresholdMm, fraction, missingRain } = rule
  const row = { from_on: fromOn, threshold_mm: thresholdMm, fraction, missing_rain: missingRain }
  return appendEntry(pen, { kind: 'rain-rule' }, { rain_rule: [row] })
}

export async function setMonthTable(pen: Pen, { fromOn, words, etoMmPerDay }: MonthTable): Promise<string> {
  const months = etoMmPerDay.map((mm, at) => ({ month: at + 1, eto_mm_per_day: mm }))
  const facts = { month_table: [{ from_on: fromOn, words }], month_evaporation: months }
  return appendEntry(pen, { kind: 'month-table' }, facts)
}

export async function setCoefficientRule(pen: Pen, rule: CoefficientRule): Promise<string> {
  const row = {
    from_on: rule.fromOn,
    by_climate: rule.byClimate ? 1 : 0,
    wetting_days: rule.wetting?.days ?? null,
    wetting_mm: rule.wetting?.depthMm ?? null,
    wetted_part: rule.wettedPart ? 1 : 0,
  }
  return appendEntry(pen, { kind: 'coefficient-rule' }, { coefficient_rule: [row] })
}

export async function setPlotGauge(pen: Pen, plotId: string, gaugeId: string | null, fromOn: string): Promise<string> {
  const row = { plot_id: plotId, from_on: fromOn, gauge_id: gaugeId }
  return appendEntry(pen, { kind: 'plot-gauge' }, { plot_gauge: [row] })
}

export async function setPlotState(pen: Pen, plotId: string, state: MethodState, fromOn: string): Promise<string> {
  return appendEntry(pen, { kind: 'plot-state' }, { plot_state: [{ plot_id: plotId, from_on: fromOn, state }] })
}
