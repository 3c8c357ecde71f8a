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
  let written = ''
  for (const { name, column, kind } of inOrder(Object.keys(record), kinds)) {
    const value = record[name]
    if (value == null) continue
    if (!kind) throw new RangeError(`${column} is no column of the book`)
    const text = WRITTEN[kind](column, value)
    written += `${written && ' '}${column} ${kind[0]}${Buffer.byteLength(text)} ${text}`
  }
  return written
}

interface Field {
  name: string
  column: string
  kind: Kind | undefined
}

const orders = new WeakMap<ReadonlyMap<string, Kind>, Map<string, Field[]>>()

/** The fields by their names in the file; rows of one table have the same, so that they are put in order once. */
function inOrder(names: readonly string[], kinds: ReadonlyMap<string, Kind>): Field[] {
  const known = orders.get(kinds) ?? new Map<string, Field[]>()
  orders.set(kinds, known)
  const key = names.join(' ')
  const order = known.get(key) ?? sorted(names, kinds)
  known.set(key, order)
  return order
}

function sorted(names: readonly string[], kinds: ReadonlyMap<string, Kind>): Field[] {
  const fields = names.map((name): Field => ({ name, column: inFile(name), kind: kinds.get(inFile(name)) }))
  return fields.sort((one, other) => (one.column < other.column ? -1 : 1))
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
