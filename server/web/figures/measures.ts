import { latinDigits } from '../../../domain/digits.ts'
import { parseDecimal } from './decimal.ts'

/** Two lengths side by side: `20 x 15`, `20 m by 15 m`, `20 × 15`, `20*15`. */
const SIDES = /^(.+?)\s*m?\s*(?:[x×*]|\bby\b)\s*(.+?)\s*m?$/i

/** An area in m2 as people write it: 300, or two sides in metres with an x between; null where it is none. */
export function parseArea(text: string): number | 'ambiguous' | null {
  const sides = SIDES.exec(text.trim())
  if (!sides) return parseDecimal(text.replace(/\s*m(2|²)$/i, ''))
  const read = [parseDecimal(sides[1]!), parseDecimal(sides[2]!)]
  if (read.includes('ambiguous')) return 'ambiguous'
  const [length, width] = read as (number | null)[]
  if (length == null || width == null || length < 0 || width < 0) return null
  // Two figures with decimals multiply to more of them than anybody measured.
  return Number((length * width).toFixed(4))
}

const DEGREES =
  /^([NSEW])?(\d+(?:[.,]\d+)?)[°\s]*(?:(\d+(?:[.,]\d+)?)['′’\s]*)?(?:(\d+(?:[.,]\d+)?)(?:["″”]|''|′′)?\s*)?([NSEW])?$/i

/**
 * An angle in degrees as maps and telephones write it: -1.8, 1.8 S, 1°48'S, S 1 48 30; south and west are below zero. Letters of the other axis,
 * sixty minutes and more and a sign beside a letter are refused; null where it is none.
 */
export function parseDegrees(text: string, letters: 'NS' | 'EW'): number | 'ambiguous' | null {
  const packed = latinDigits(text).trim().replace('\u2212', '-').replace('º', '°')
  const plain = parseDecimal(packed.replace(/°$/, ''))
  if (plain !== null) return plain
  const found = DEGREES.exec(packed.replace(/^([NSEW])\s+/i, '$1'))
  if (!found) return null
  const [, before, degrees, minutes = '0', seconds = '0', after] = found
  const letter = (before ?? after)?.toUpperCase()
  const [degree, minute, second] = [degrees!, minutes, seconds].map((one) => Number(one.replace(',', '.')))
  const isTwice = before !== undefined && after !== undefined
  if (!letter || isTwice || !letters.includes(letter) || minute! >= 60 || second! >= 60) return null
  const size = degree! + minute! / 60 + second! / 3600
  return Number((letter === letters[1] && letters === 'NS' ? -size : letter === 'W' ? -size : size).toFixed(6))
}
