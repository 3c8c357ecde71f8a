import { inFile } from '../database/names.ts'
import type { Kind } from '../database/tables-of.ts'

/**
 * The first rule: names as in the file, keys sorted, empty fields as null, all as JSON. JSON writes what is not finite as null,
 * so such a figure is refused before. A column that came later is left out while it is empty.
 */
export function firstWriting(record: Record<string, unknown>, columns: ReadonlyMap<string, Kind>): string {
  const fields = Object.entries(record)
    .map(([name, value]): [string, unknown] => [inFile(name), value ?? null])
    .filter(([name, value]) => value !== null || columns.has(name))
  for (const [name, value] of fields) if (typeof value === 'number') mustBeFinite(name, value)
  return JSON.stringify(fields.sort(([a], [b]) => (a < b ? -1 : 1)))
}

/**
 * The second rule: each field that is not empty by its name, the letter of its column's declared kind, and its value with its
 * length in bytes, so that any engine in any language writes the same. An empty field is not written: a column that a later
 * step adds leaves older entries as they are. Throws RangeError for what the column cannot hold.
 */
export function secondWriting(record: Record<string, unknown>, kinds: ReadonlyMap<string, Kind>): string {
  const fields: string[] = []
  for (const [name, value] of Object.entries(record)) {
    if (value == null) continue
    const column = inFile(name)
    fields.push(field(column, kinds.get(column), value))
  }
  return fields.sort().join(' ')
}

function field(name: string, kind: Kind | undefined, value: unknown): string {
  if (!kind) throw new RangeError(`${name} is no column of the book`)
  const text = WRITTEN[kind](name, value)
  return `${name} ${kind[0]}${Buffer.byteLength(text)} ${text}`
}

const BITS = Buffer.alloc(8)

const WRITTEN: Record<Kind, (name: string, value: unknown) => string> = {
  integer: (name, value) => {
    if (!Number.isSafeInteger(value)) throw new RangeError(`${name} is no whole number`)
    return String(value)
  },
  real: (name, value) => {
    if (typeof value !== 'number') throw new RangeError(`${name} is no number`)
    mustBeFinite(name, value)
    // A zero below nothing is the same figure as zero.
    BITS.writeDoubleBE(value === 0 ? 0 : value)
    return BITS.toString('hex')
  },
  text: (name, value) => {
    if (typeof value !== 'string' || value.includes('\0')) throw new RangeError(`${name} is no text`)
    return value
  },
  blob: (name, value) => {
    if (!Buffer.isBuffer(value)) throw new RangeError(`${name} holds no bytes`)
    return value.toString('hex')
  },
}

function mustBeFinite(name: string, value: number): void {
  if (!Number.isFinite(value)) throw new RangeError(`${name} is not finite`)
}
