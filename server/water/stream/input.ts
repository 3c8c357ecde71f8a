import { InputError } from '../../../domain/input-error.ts'
import type { Litres } from '../../../domain/units.ts'
import { bucketFlow, floatFlow } from '../../../domain/water/stream/gauging.ts'
import { parseDecimal } from '../../web/figures/decimal.ts'
import { type Filled, type ReadForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { NewGauging } from './store.ts'

interface Common {
  onDate: string
  atTime: string
  place: string
  remark: string | null
}

type FloatTyped = Common & { length: number; times: string; soundings: string; surfaceFactor: number | null }
type BucketTyped = Common & { litres: Litres; fillings: string }
export type GaugingInput = { gauging: NewGauging } | { problem: ReadForm<never> }

type Parts = Pick<NewGauging, 'method' | 'seconds' | 'lengthM' | 'surfaceFactor' | 'points' | 'litres'>

export function floatOfInput(typed: FloatTyped, form: Filled, desk: Desk): GaugingInput {
  return checked(typed, form, desk, () => {
    const seconds = inField('times', () => numbersOf(typed.times))
    const points = inField('soundings', () => pointsOf(typed.soundings))
    const { length: lengthM, surfaceFactor } = typed
    const flow = inField('soundings', () => floatFlow({ lengthM, seconds, points }))
    if (!flow) throw new FieldError('soundings', new InputError('no-water'))
    return { method: 'float', seconds, lengthM, surfaceFactor, points, litres: null }
  })
}

export function bucketOfInput(typed: BucketTyped, form: Filled, desk: Desk): GaugingInput {
  return checked(typed, form, desk, () => {
    const seconds = inField('fillings', () => numbersOf(typed.fillings))
    inField('fillings', () => bucketFlow({ litres: typed.litres, seconds }))
    const { litres } = typed
    return { method: 'bucket', seconds, lengthM: null, surfaceFactor: null, points: [], litres }
  })
}

/** Wrong in what was typed into one field. */
class FieldError extends Error {
  readonly field: string
  readonly wrong: InputError

  constructor(field: string, wrong: InputError) {
    super(wrong.code)
    this.field = field
    this.wrong = wrong
  }
}

function checked(typed: Common, form: Filled, { timeZone, today }: Desk, read: () => Parts): GaugingInput {
  const { onDate, atTime, place, remark } = typed
  if (onDate > today) return { problem: withError(form, 'onDate', 'stream.gauging.future') }
  const happenedAt = localInstant(onDate, atTime, timeZone)
  if (happenedAt === null) return { problem: withError(form, 'atTime', 'water.level.no-such-hour') }
  try {
    return { gauging: { onDate, atTime, happenedAt, place, remark, ...read() } }
  } catch (error) {
    if (!(error instanceof FieldError)) throw error
    const { field, wrong } = error
    return { problem: withError(form, field, `stream.gauging.${wrong.code}`, wrong.values) }
  }
}

/** Found only when the flow is reckoned, but to be mended in the times. */
const TIME_CODES = ['no-times', 'time-not-above-zero']

function inField<T>(field: string, read: () => T): T {
  try {
    return read()
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    throw new FieldError(field === 'soundings' && TIME_CODES.includes(error.code) ? 'times' : field, error)
  }
}

/** Numbers parted by spaces, semicolons or lines. */
function numbersOf(text: string): number[] {
  return text.split(/[\s;]+/).flatMap((word) => (word === '' ? [] : [numberOf(word)]))
}

/** One sounding a line: distance from the bank and depth, parted by space, semicolon or tab. */
function pointsOf(text: string): { offsetM: number; depthM: number }[] {
  const rows = text.split(/\r?\n/).filter((row) => row.trim() !== '')
  return rows.map((row, at) => {
    const cells = row.trim().split(/[\s;]+/)
    if (cells.length !== 2) throw new InputError('sounding-cells', { row: at + 1 })
    return { offsetM: numberOf(cells[0]!), depthM: numberOf(cells[1]!) }
  })
}

function numberOf(word: string): number {
  const read = parseDecimal(word)
  if (typeof read !== 'number') throw new InputError('not-a-number', { typed: word })
  return read
}
