import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { blankDrawing, type Drawing, fittedText, tenths } from '../../web/figures/drawn.ts'
import type { Words } from '../../web/pages/page.ts'
import type { turnsByDay } from '../week/view.ts'
import { type BlockWords, drawBlock } from './block.ts'
import { lanesOf, placesDown } from './places.ts'

type Day = ReturnType<typeof turnsByDay>[number]
type Row = Day['rows'][number]
type Turn = Day['turns'][number]

/** A4 across, less its margins. */
const WIDTH_MM = 281
const HEIGHT_MM = 150
const HOURS_MM = 9
const DAYS_MM = 8
const NO_TURNS_MM = 13
const WIDEST_MM = 90
/** Read from two steps away; common practice, no source. */
const LEAST_HEAD_MM = 4.2

/** The sheet of one pump, or of one tank by gravity: days across, hours down. */
export interface BoardSheet {
  key: string
  pumpNumber: number | null
  tankNumber: number | null
  name: string
  weirId: string | null
  width: number
  height: number
  grid: Drawing
  /** Each turn at its place; a filling of a tank has no plot. */
  blocks: { x: number; y: number; isTurn: boolean; said: string; drawing: Drawing }[]
}

interface Told {
  inputs: WeekInputs
  words: Words
  /** Why no turn is on a day for a pump; empty where none was planned. */
  closedWords: (day: Day, pumpId: string) => string
  blockOf: (turn: Turn) => BlockWords
}

/** The sheets of a week, pumps first and tanks below them, of every pump that has turns or fills a tank. */
export function boardSheets(days: readonly Day[], told: Told): BoardSheet[] {
  const keys = [...new Set(days.flatMap(({ rows }) => rows.map(keyOf)))]
  const sheets = keys.map((key) => sheetOf(key, days, told))
  const [ofPumps, ofTanks] = [
    sheets.filter(({ tankNumber }) => tankNumber === null),
    sheets.filter(({ tankNumber }) => tankNumber !== null),
  ]
  return [
    ...ofPumps.toSorted((a, b) => a.pumpNumber! - b.pumpNumber!),
    ...ofTanks.toSorted((a, b) => a.tankNumber! - b.tankNumber!),
  ]
}

function keyOf(row: Row): string {
  if ('tank' in row) return row.pumpId
  return row.outlet?.tank ? row.outlet.tank.id : row.pumpId
}

function sheetOf(key: string, days: readonly Day[], told: Told): BoardSheet {
  const own = days.map((day) => ({ day, rows: day.rows.filter((row) => keyOf(row) === key) }))
  const pump = told.inputs.pumps.find(({ id }) => id === key)
  const tank = told.inputs.tanks?.find(({ id }) => id === key)
  const grid = blankDrawing()
  const hours = hoursOf(own.flatMap(({ rows }) => rows))
  drawHours(grid, hours, told.words)
  const blocks = columnsOf(own).flatMap((column) => {
    drawColumn(grid, column, { ...told, pumpId: pump?.id ?? '' })
    return lanesOf(column.rows).flatMap((lane, at, lanes) => {
      const width = (column.width - 1) / lanes.length
      return placesDown(lane, { ...hours, heightMm: HEIGHT_MM - DAYS_MM }).map(({ y, height }, of) => ({
        x: tenths(column.x + 0.5 + at * width),
        y: tenths(DAYS_MM + y),
        isTurn: !('tank' in lane[of]!),
        said: saidOf(lane[of]!, told),
        drawing: drawRow(lane[of]!, { width: tenths(width - 0.6), height }, told),
      }))
    })
  })
  return {
    key,
    pumpNumber: pump?.number ?? null,
    tankNumber: tank?.number ?? null,
    name: pump?.name ?? tank?.name ?? '',
    weirId: pump?.weirId ?? null,
    width: WIDTH_MM,
    height: HEIGHT_MM + 1,
    grid,
    blocks,
  }
}

function drawRow(row: Row, size: { width: number; height: number }, told: Told): Drawing {
  if (!('tank' in row)) return drawBlock(told.blockOf(row), size)
  const drawing = blankDrawing()
  drawing.boxes.push({ x: 0, y: 0, ...size, look: 'frame' })
  const lines = fillWords(row, told.words)
  const step = Math.min(4.6, (size.height - 0.6) / lines.length)
  drawing.texts.push(
    ...lines.map((line, at) =>
      fittedText(line, { x: 1.4, y: step * (at + 0.85) }, { most: 4, width: size.width - 2.8 }),
    ),
  )
  return drawing
}

function fillWords(row: Exclude<Row, Turn>, { locale, format }: Words): string[] {
  const clock = `${format.clock(row.startMinute)}–${format.clock(row.endMinute)}`
  const about = locale.t('tank-turn.about', { volume: format.tenth(row.volumeM3) })
  return [locale.t('tank-turn.fill-row', { number: row.tank.number }), clock, about]
}

/** All that a block would say if there were room, for whoever hears the sheet. */
function saidOf(row: Row, { blockOf, words }: Told): string {
  if ('tank' in row) return fillWords(row, words).join(', ')
  const { plot, names, clock, outlet, volume, cans, notes } = blockOf(row)
  return [`${plot} ${names}`, clock, outlet, volume, cans, ...notes].join(', ')
}

/** From the full hour before the first turn to the one after the last, in minutes. */
function hoursOf(rows: readonly Row[]): { from: number; to: number } {
  const from = Math.floor(Math.min(...rows.map((row) => row.startMinute)) / 60)
  const to = Math.ceil(Math.max(...rows.map((row) => row.endMinute)) / 60)
  return { from: from * 60, to: Math.max(to, from + 1) * 60 }
}

function drawHours(grid: Drawing, { from, to }: { from: number; to: number }, { format }: Words): void {
  const step = (HEIGHT_MM - DAYS_MM) / ((to - from) / 60)
  grid.lines.push({ x1: 0, y1: DAYS_MM, x2: WIDTH_MM, y2: DAYS_MM, look: 'thick' })
  grid.lines.push({ x1: 0, y1: HEIGHT_MM, x2: WIDTH_MM, y2: HEIGHT_MM, look: 'thick' })
  for (let hour = 0; hour < (to - from) / 60; hour += 1) {
    const y = tenths(DAYS_MM + hour * step)
    if (hour > 0) grid.lines.push({ x1: HOURS_MM, y1: y, x2: WIDTH_MM, y2: y, look: 'dashed' })
    grid.texts.push(
      fittedText(format.whole(from / 60 + hour), { x: 0, y: y + 5 }, { most: 5, width: HOURS_MM, bold: true }),
    )
  }
}

interface Column {
  day: Day
  rows: Row[]
  x: number
  width: number
}

/** Every day has a column; one without turns is narrow and says why. */
function columnsOf(days: readonly { day: Day; rows: Row[] }[]): Column[] {
  const busy = days.filter(({ rows }) => rows.length > 0)
  const narrowMm = (days.length - busy.length) * NO_TURNS_MM
  const wideMm = Math.min(WIDEST_MM, (WIDTH_MM - HOURS_MM - narrowMm) / busy.length)
  let x = HOURS_MM
  return days.map(({ day, rows }) => {
    const width = rows.length > 0 ? wideMm : NO_TURNS_MM
    const column = { day, rows, x: tenths(x), width: tenths(width) }
    x += width
    return column
  })
}

interface Head {
  own: string
  /** The day of the group's other calendar; empty where it has none. */
  other: string
  middle: number
  width: number
}

/** Both days beside one another, or one above the other where that would make them too small to read on a wall. */
function headOf({ own, other, middle, width }: Head) {
  const fitted = (words: string, y: number, most: number) =>
    fittedText(words, { x: middle, y }, { most, width, bold: true, anchor: 'middle' })
  if (other === '') return [fitted(own, 6, 5.6)]
  const beside = fitted(`${own} · ${other}`, 6, 5.6)
  return beside.size < LEAST_HEAD_MM ? [fitted(own, 3.8, 4.4), fitted(other, 7.2, 3.6)] : [beside]
}

function drawColumn(
  grid: Drawing,
  { day, rows, x, width }: Column,
  { words, closedWords, pumpId }: Told & { pumpId: string },
) {
  const { dayOfWeek, dayOfMonth, otherDay } = words.format
  const other = width > NO_TURNS_MM && otherDay(day.day)
  const own = `${dayOfWeek(day.day)} ${dayOfMonth(day.day)}`
  const middle = x + width / 2
  grid.lines.push({ x1: x, y1: 0, x2: x, y2: HEIGHT_MM, look: 'thin' })
  grid.texts.push(...headOf({ own, other: other || '', middle, width: width - 0.6 }))
  if (rows.length > 0) return
  const why = closedWords(day, pumpId) || words.locale.t('board.no-turns')
  const look = { most: 5.6, width: HEIGHT_MM - DAYS_MM - 8, bold: true, anchor: 'middle', upright: true } as const
  grid.texts.push(fittedText(why, { x: middle + 2, y: (HEIGHT_MM + DAYS_MM) / 2 }, look))
}
