import {
  blankDrawing,
  type Drawing,
  emsOf,
  fittedText,
  LEAST_MM,
  meterBoxes,
  meterBoxesWidth,
  twoLines,
} from '../../web/figures/drawn.ts'

/** What a block of the board says, in words. */
export interface BlockWords {
  clock: string
  outlet: string
  plot: string
  plotId: string
  names: string
  volume: string
  cans: string
  stop: string
  /** Where it is told what else there is to know: which of several turns it is, brought in later, in doubt. */
  notes: string[]
  isOfficers: boolean
  /** Digits of the meter; 0 where a turn stops by the clock and the mark of a tank. */
  wheels: number
}

interface Size {
  width: number
  height: number
}

const EDGE = 1.4
const PARTS = 1

/** A turn in its block: as large as the block bears, and in the lowest ones on one line. */
export function drawBlock(words: BlockWords, size: Size): Drawing {
  const drawing = blankDrawing()
  drawing.boxes.push({ x: 0, y: 0, ...size, look: 'frame' })
  if (words.isOfficers) drawing.corners.push({ x: size.width - 4, y: 0, size: 4 })
  if (size.height < 12 || size.width < 26) drawLine(drawing, words, size)
  else if (size.height < 19) drawShort(drawing, words, size)
  else drawTall(drawing, words, size)
  return drawing
}

function drawTall(drawing: Drawing, words: BlockWords, { width, height }: Size): void {
  const inner = width - 2 * EDGE
  const isLow = height < 28
  clockAndOutlet(drawing, words, width)
  const foot = isLow ? 7.4 : 14
  const room = height - 5.5 - foot
  const hasNameBelow = room > 22
  const mark = Math.min(15, hasNameBelow ? room - 9 : room, inner * (hasNameBelow ? 0.36 : 0.3))
  const markY = 5.5 + (hasNameBelow ? 0 : Math.max(0, (room - mark) / 2))
  drawing.marks.push({ x: EDGE, y: markY, size: mark, plotId: words.plotId })
  const plotSize = Math.min(hasNameBelow ? 13 : 10, mark * 1.1)
  const plotY = markY + mark / 2 + plotSize * 0.36
  drawing.texts.push(fittedText(words.plot, { x: EDGE + mark + 2, y: plotY }, bold(plotSize, inner)))
  if (hasNameBelow) {
    drawing.texts.push(fittedText(words.names, { x: EDGE, y: markY + mark + 6.4 }, bold(6, inner)))
    const notes = { x: EDGE, y: markY + mark + 10.8, width: inner, room: room - mark - 8 }
    drawing.texts.push(...notesAt(words, notes))
  } else {
    const beside = EDGE + mark + 3.2 + emsOf(words.plot, true) * plotSize
    const notes = isLow ? [words.cans, ...words.notes] : words.notes
    nameBeside(drawing, { ...words, notes }, { x: beside, y: markY + mark / 2, width: width - EDGE - beside, room })
  }
  const volumeY = isLow ? height - 2 : height - 8.4
  const volume = fittedText(
    words.volume,
    { x: EDGE, y: volumeY },
    bold(isLow ? 4.8 : 6.2, inner * (isLow ? 0.3 : 0.56)),
  )
  const volumeEnd = EDGE + emsOf(words.volume, true) * volume.size + 1.4
  const rest = width - volumeEnd - EDGE
  drawing.texts.push(volume)
  if (isLow) stopBoxes(drawing, words, { x: volumeEnd, y: height - 6.4, width: rest, height: 5 })
  else {
    drawing.texts.push(fittedText(words.cans, { x: volumeEnd, y: volumeY }, { most: 4.2, width: rest }))
    stopBoxes(drawing, words, { x: EDGE, y: height - 7, width: inner, height: 6 })
  }
}

function drawShort(drawing: Drawing, words: BlockWords, { width, height }: Size): void {
  const inner = width - 2 * EDGE
  const mark = 7
  const isTight = height < 15.5
  drawing.marks.push({ x: EDGE, y: 0.7, size: mark, plotId: words.plotId })
  const plot = fittedText(words.plot, { x: EDGE + mark + 1, y: 6.6 }, bold(6.3, inner))
  drawing.texts.push(plot)
  const beside = EDGE + mark + 2.2 + emsOf(words.plot, true) * plot.size
  const room = width - EDGE - beside
  const second = `${words.volume} ${isTight ? words.outlet : words.cans}`
  drawing.texts.push(fittedText(words.names, { x: beside, y: 3.9 }, bold(4.1, room - (words.isOfficers ? 3 : 0))))
  drawing.texts.push(fittedText(second, { x: beside, y: 7.5 }, bold(3.6, room)))
  const clock = isTight ? words.clock : `${words.clock} ${words.outlet}`
  const boxY = height - (isTight ? 4.4 : 5.2)
  if (isTight) {
    const asked = meterBoxesWidth(words.wheels, PARTS, 2.8)
    // Where hours and boxes do not fit beside each other the hours stand: the stop is written on the slip.
    const boxes = fits(clock, inner - asked - 0.6) ? asked : 0
    drawing.texts.push(fittedText(clock, { x: EDGE, y: height - 1.4 }, { most: 3.4, width: inner - boxes - 0.6 }))
    if (boxes > 0) stopBoxes(drawing, words, { x: width - EDGE - boxes - 1, y: boxY, width: boxes + 1, height: 3.8 })
  } else {
    drawing.texts.push(fittedText(clock, { x: EDGE, y: 10.9 }, { most: 3.5, width: inner }))
    stopBoxes(drawing, words, { x: EDGE, y: boxY, width: inner, height: 4.4 })
  }
}

function drawLine(drawing: Drawing, words: BlockWords, { width, height }: Size): void {
  const middle = height / 2
  const mark = Math.min(height - 1, 5)
  drawing.marks.push({ x: 0.6, y: middle - mark / 2, size: mark, plotId: words.plotId })
  const isTwo = height > 9
  const plot = fittedText(words.plot, { x: mark + 1.2, y: middle + 1.6 }, bold(Math.min(5, height - 1), width / 3))
  drawing.texts.push(plot)
  const x = mark + 2 + emsOf(words.plot, true) * plot.size
  const asked = words.wheels > 0 ? meterBoxesWidth(words.wheels, PARTS, 2.6) : 0
  const boxes = fits(words.clock, width - x - asked - 1) ? asked : 0
  const look = { most: LEAST_MM, width: width - x - boxes - 1 }
  // Where the block is too narrow for both ends, its place on the sheet tells the second.
  const clock = fits(words.clock, look.width) ? words.clock : words.clock.split('–')[0]!
  if (isTwo) {
    drawing.texts.push(fittedText(clock, { x, y: middle - 0.4 }, look))
    drawing.texts.push(fittedText(words.volume, { x, y: middle + 3.2 }, { ...look, bold: true }))
  } else drawing.texts.push(fittedText(`${clock} ${words.volume}`, { x, y: middle + 1.1 }, look))
  if (boxes > 0) {
    boxesAt(drawing, { x: width - boxes - 0.5, y: middle - (height - 1) / 2, box: 2.6, height: height - 1 }, words)
  }
}

function clockAndOutlet(drawing: Drawing, words: BlockWords, width: number): void {
  const right = width - (words.isOfficers ? 4.6 : EDGE)
  const inner = right - EDGE
  const size = Math.max(LEAST_MM, Math.min(4, inner / emsOf(`${words.clock} ${words.outlet}`, true)))
  const clock = fittedText(words.clock, { x: EDGE, y: 4.4 }, bold(size, inner))
  const left = inner - emsOf(words.clock, true) * clock.size - 0.6
  drawing.texts.push(clock)
  drawing.texts.push(fittedText(words.outlet, { x: right, y: 4.4 }, { most: size, width: left, anchor: 'end' }))
}

interface Beside {
  x: number
  y: number
  width: number
  room: number
}

/** The name beside mark and number: on one line where it is large enough so, and what else there is to know where there is room. */
function nameBeside(drawing: Drawing, { names, notes }: BlockWords, { x, y, width, room }: Beside): void {
  const most = Math.max(1, Math.floor(room / 4.4))
  const name = emsOf(names, true) * 4.1 <= width || most < 2 ? [names] : twoLines(names)
  const lines = [...name.map((line) => ({ line, most: 4.8 })), ...notes.map(small)].slice(0, most)
  const top = y - (lines.length - 1) * 2.2 + 1.5
  drawing.texts.push(
    ...lines.map(({ line, most: size }, at) => {
      return fittedText(line, { x, y: top + at * 4.4 }, { most: size, width, bold: size > 4 })
    }),
  )
}

function small(line: string) {
  return { line, most: 3.4 }
}

function notesAt({ notes }: BlockWords, { x, y, width, room }: { x: number; y: number; width: number; room: number }) {
  return notes
    .slice(0, Math.max(0, Math.floor(room / 4)))
    .map((note, at) => fittedText(note, { x, y: y + at * 4 }, { most: 3.6, width }))
}

/** "Stop at" with its empty boxes, the words only where they leave the boxes wide enough; without a meter, how the turn ends. */
function stopBoxes(
  drawing: Drawing,
  words: BlockWords,
  { x, y, width, height }: { x: number; y: number; width: number; height: number },
): void {
  const foot = y + height - 1.4
  if (words.wheels === 0) {
    drawing.texts.push(fittedText(words.stop, { x, y: foot }, { most: 4, width }))
    return
  }
  const saidMm = emsOf(words.stop) * 3.6 + 0.8
  const boxMm = (room: number) => Math.min(5, (room - 1.6) / (words.wheels + PARTS))
  const isSaid = boxMm(width - saidMm) >= 3
  if (isSaid) drawing.texts.push(fittedText(words.stop, { x, y: foot }, { most: 3.6, width: saidMm }))
  const left = isSaid ? saidMm : 0
  boxesAt(drawing, { x: x + left, y, box: boxMm(width - left), height }, words)
}

function boxesAt(
  drawing: Drawing,
  { x, y, box, height }: { x: number; y: number; box: number; height: number },
  { wheels }: BlockWords,
): void {
  const { boxes, points } = meterBoxes({ x, y }, { whole: wheels, parts: PARTS, width: box, height })
  drawing.boxes.push(...boxes)
  drawing.texts.push(...points)
}

/** Whether words that are still to be read keep within a width. */
function fits(words: string, width: number): boolean {
  return emsOf(words) * LEAST_MM <= width
}

function bold(most: number, width: number) {
  return { most, width, bold: true }
}
