import { describe, expect, it } from 'vitest'
import { CROPS } from '../../../domain/crops/data/crops.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { STAGE_LENGTHS } from '../../../domain/crops/data/stage-lengths.ts'
import type { Range } from '../../../domain/units.ts'
import { SAND_EVAPORATION } from '../../../domain/water/data/sand-evaporation.ts'
import { SEDIMENT_YIELDS } from '../../../domain/water/data/specific-yield.ts'
import { WATER_NEEDS } from '../../../domain/water/data/water-needs.ts'
import * as printed from './printed-tables.ts'

// The tables of the domain against the printed rows, written a second time; the sources stand beside them.

/** The rows of a table as they are printed: a name, and its cells; null for a cell that is not printed. */
function rowsOf(table: string): [string, (number | null)[]][] {
  return table
    .trim()
    .split('\n')
    .map((line) => {
      const [name, ...cells] = line.split(' ')
      return [name!, cells.map((cell) => (cell === '-' ? null : Number(cell)))]
    })
}

/** Cells that are not printed are nobody's to hold against. */
function expectCells(rows: [string, (number | null)[]][], table: string): void {
  const wanted = rowsOf(table)
  expect(rows.map(([name]) => name)).toEqual(wanted.map(([name]) => name))
  for (const [at, [name, cells]] of wanted.entries())
    for (const [column, cell] of cells.entries())
      if (cell !== null) expect(rows[at]![1][column], `${name}, cell ${column + 1}`).toBeCloseTo(cell, 9)
}

const percent = (range: Range) => [range.low * 100, range.likely * 100, range.high * 100]

describe('the crops', () => {
  const PRINTED_ONES = CROPS.filter(({ key }) => key !== 'kitchen_garden')

  it('have every cell of the printed tables', () => {
    const cells = PRINTED_ONES.map((crop): [string, (number | null)[]] => [
      crop.key,
      [
        ...[crop.kcIni, crop.kcMid, crop.kcEnd, crop.heightMaxM, ...(crop.stageDays ?? [null, null, null, null])],
        ...[crop.rootDepthMinM, crop.rootDepthMaxM, crop.depletionFraction, crop.yieldResponse],
      ],
    ])
    expectCells(cells, printed.PRINTED_CROPS)
  })

  it('have no stages and no response where none are printed', () => {
    const wanted = new Map(rowsOf(printed.PRINTED_CROPS))
    for (const crop of PRINTED_ONES) {
      expect(crop.stageDays === null, crop.key).toBe(wanted.get(crop.key)![4] === null)
      expect(crop.yieldResponse === null, crop.key).toBe(wanted.get(crop.key)![11] === null)
    }
  })

  it('offer every printed row of stages, in its order', () => {
    const rows = STAGE_LENGTHS.map((row): [string, number[]] => [row.cropKey, [...row.stageDays, row.totalPrintedDays]])
    expectCells(rows, printed.PRINTED_STAGES)
  })

  it('take the stages of a row that is printed with its region', () => {
    const main = PRINTED_ONES.filter(({ key }) => STAGE_LENGTHS.some(({ cropKey }) => cropKey === key))
    expect(main.length).toBeGreaterThan(12)
    for (const { key, stageDays, stageRegion } of main)
      expect(STAGE_LENGTHS).toContainEqual(
        expect.objectContaining({ cropKey: key, stageDays, region: expect.stringContaining(stageRegion) }),
      )
  })
})

describe('the soils', () => {
  it('have every cell of the printed table, and the middle between', () => {
    const rows = rowsOf(printed.PRINTED_SOILS).map(([key]): [string, number[]] => {
      const soil = soilByKey(key)!
      const ranges = [soil.fieldCapacity, soil.wiltingPoint, soil.availableMmPerM]
      const all = [...ranges, soil.readilyEvaporableMm, soil.evaporableMm]
      for (const { low, likely, high } of all) expect(likely, key).toBeCloseTo((low + high) / 2, 9)
      return [key, all.flatMap(({ low, high }) => [low, high])]
    })
    expectCells(rows, printed.PRINTED_SOILS)
  })

  it('hold between the limits what is printed as available', () => {
    // Table 19 prints the range of available water by itself; its middle is up to 30 mm from that of the limits.
    for (const [key] of rowsOf(printed.PRINTED_SOILS)) {
      const { fieldCapacity, wiltingPoint, availableMmPerM } = soilByKey(key)!
      const heldMm = (fieldCapacity.likely - wiltingPoint.likely) * 1000
      expect(Math.abs(heldMm - availableMmPerM.likely), key).toBeLessThanOrEqual(30 + 1e-9)
    }
  })
})

describe('the sand', () => {
  it('drains as printed, after long and in an hour', () => {
    expectCells(
      SEDIMENT_YIELDS.map(({ sediment, specificYield }) => [sediment, percent(specificYield)]),
      printed.PRINTED_YIELDS,
    )
    const hour = SEDIMENT_YIELDS.filter(({ oneHourDrainage }) => oneHourDrainage !== null)
    expectCells(
      hour.map(({ sediment, oneHourDrainage }) => [sediment, [oneHourDrainage! * 100]]),
      printed.PRINTED_HOUR,
    )
  })

  it('loses by evaporation what is printed, and nothing from a metre on', () => {
    const rows = SAND_EVAPORATION.map(({ waterTableDepthM, shareOfOpenWater }): [string, number[]] => [
      String(waterTableDepthM),
      [shareOfOpenWater * 100],
    ])
    expectCells(rows.slice(0, -1), printed.PRINTED_SAND)
    expect(rows.at(-1)).toEqual(['1', [0]])
  })
})

it('plans for people and animals with what is printed', () => {
  const rows = WATER_NEEDS.map((need): [string, number[]] => [
    need.kind,
    [need.lowLitresPerDay, need.usualLitresPerDay, need.highLitresPerDay],
  ])
  expectCells(rows, printed.PRINTED_NEEDS)
})

it.each([
  ['wets of the ground', printed.PRINTED_WETTED, 'wettedFraction', 1],
  ['brings to the roots', printed.PRINTED_EFFICIENCY, 'efficiency', 100],
] as const)('says what a method %s, as printed', (_says, table, field, unit) => {
  const rows = rowsOf(table).map(([key]): [string, number[]] => {
    const { low, likely, high } = irrigationMethodByKey(key)![field]
    return [key, [low * unit, likely * unit, high * unit]]
  })
  expectCells(rows, table)
})
