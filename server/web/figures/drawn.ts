/** Millimetres on paper. */
type Mm = number

interface DrawnText {
  x: Mm
  y: Mm
  size: Mm
  words: string
  bold: boolean
  anchor: 'start' | 'middle' | 'end'
  /** Read from the foot up, in a column too narrow for words. */
  upright: boolean
}

interface DrawnBox {
  x: Mm
  y: Mm
  width: Mm
  height: Mm
  look: 'frame' | 'digit' | 'part' | 'full'
}

/** What lies at its place on a sheet of paper; the view puts it down as it stands, in the same units. */
export interface Drawing {
  boxes: DrawnBox[]
  lines: { x1: Mm; y1: Mm; x2: Mm; y2: Mm; look: 'thin' | 'thick' | 'dashed' }[]
  texts: DrawnText[]
  marks: { x: Mm; y: Mm; size: Mm; plotId: string }[]
  /** The right upper corner of what bears a folded one. */
  corners: { x: Mm; y: Mm; size: Mm }[]
}

export function blankDrawing(): Drawing {
  return { boxes: [], lines: [], texts: [], marks: [], corners: [] }
}

/** 9 pt: nothing on paper is smaller. */
export const LEAST_MM = 3.2

type TextLook = Partial<Pick<DrawnText, 'bold' | 'anchor' | 'upright'>> & { most: Mm; least?: Mm; width: Mm }

/** Words in the largest size that the width bears, never under the least; of what is still too long, as many whole words as fit. */
export function fittedText(
  words: string,
  place: { x: Mm; y: Mm },
  { most, least = LEAST_MM, width, bold = false, anchor = 'start', upright = false }: TextLook,
): DrawnText {
  const size = Math.min(most, Math.max(least, width / emsOf(words, bold)))
  return { ...place, size: tenths(size), words: wordsThatFit(words, width / size, bold), bold, anchor, upright }
}

/** A name that does not fit at all is left to the number and the mark; a figure is never left out. */
function wordsThatFit(words: string, ems: number, bold: boolean): string {
  const parts = words.split(' ')
  const fits = (count: number) => emsOf(parts.slice(0, count).join(' '), bold) <= ems + 0.01
  let count = parts.length
  while (count > 0 && !fits(count)) count -= 1
  if (count === 0) return /\d/.test(parts[0]!) ? parts[0]! : ''
  return count === parts.length
    ? words
    : parts
        .slice(0, count)
        .join(' ')
        .replace(/[\s,;·–-]+$/, '')
}

const NARROW = /[iljtfr.,:;'’|()!· ]/
const WIDE = /[mwMWQ@%&]/

/** About how wide words are in a plain face, in ems; a little more than most faces need. */
export function emsOf(words: string, bold = false): number {
  const ems = [...words].reduce((sum, sign) => {
    return sum + (NARROW.test(sign) ? 0.34 : WIDE.test(sign) ? 0.92 : /[A-Z]/.test(sign) ? 0.72 : 0.58)
  }, 0)
  return ems * (bold ? 1.04 : 1)
}

/** Words in at most two lines of about the same length. */
export function twoLines(words: string): string[] {
  const parts = words.split(' ')
  if (parts.length < 2) return [words]
  const cuts = parts.slice(1).map((_, at) => [parts.slice(0, at + 1).join(' '), parts.slice(at + 1).join(' ')])
  return cuts.toSorted((a, b) => longest(a) - longest(b))[0]!
}

function longest(lines: readonly string[]): number {
  return Math.max(...lines.map((line) => emsOf(line)))
}

/** Empty boxes for a reading of a meter: one digit each, those after the point with a broken line, and how wide they are. */
export function meterBoxes(
  { x, y }: { x: Mm; y: Mm },
  { whole, parts, width, height }: { whole: number; parts: number; width: Mm; height: Mm },
): { boxes: DrawnBox[]; points: DrawnText[]; width: Mm } {
  const box = (left: Mm, look: 'digit' | 'part'): DrawnBox => ({ x: tenths(left), y, width, height, look })
  const red = x + whole * width + 1.4
  return {
    boxes: [
      ...Array.from({ length: whole }, (_, at) => box(x + at * width, 'digit')),
      ...Array.from({ length: parts }, (_, at) => box(red + at * width, 'part')),
    ],
    points: [
      { x: tenths(red - 0.7), y: y + height, size: 5, words: '.', bold: true, anchor: 'middle', upright: false },
    ],
    width: whole * width + 1.4 + parts * width,
  }
}

/** How wide a row of such boxes is. */
export function meterBoxesWidth(whole: number, parts: number, width: Mm): Mm {
  return (whole + parts) * width + 1.4
}

export function tenths(mm: Mm): Mm {
  return Math.round(mm * 10) / 10
}

/** A figure as the wheels of a meter show it: whole ones before the point, and the digit after it for the boxes with broken lines. */
export function digitsOf(m3: number): { ink: string; redInk: string } {
  const [ink = '', redInk = ''] = Math.max(0, m3).toFixed(1).split('.')
  return { ink, redInk }
}
