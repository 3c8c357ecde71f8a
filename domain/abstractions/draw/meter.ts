import { exactM3, type M3 } from '../../units.ts'
import { checkedNumber } from '../../works/checked-number.ts'

export type MeterNote =
  | 'meter-rolled-over'
  | 'meter-replaced'
  | 'closing-below-opening'
  | 'reading-longer-than-meter'
  | 'error-from-class-two'

export interface MeterReplacement {
  oldLastM3: M3
  newFirstM3: M3
  newMeterDigits?: number
}

export interface MeterReadings {
  openingM3: M3
  closingM3: M3
  /** Digits of the counter that show whole cubic metres; a counter of 5 digits begins again after 99 999. */
  meterDigits?: number
  /** The most that can have passed, where it is known (see `mostBelievableM3`); no roll-over is believed above it. */
  mostM3?: M3
  replacement?: MeterReplacement
}

/** `null` when the closing reading is below the opening one and the counter cannot have begun again. */
interface MeterPassed {
  volumeM3: M3 | null
  notes: MeterNote[]
}

/**
 * Water that passed a meter between two readings. A counter that runs back is taken to have begun again only
 * when its digits are known and the volume is below half of its range, and below the most that can have passed.
 * With a replacement, the old meter counts up to its last reading and the new one from its first.
 */
export function meterPassedM3({ openingM3, closingM3, meterDigits, mostM3, replacement }: MeterReadings): MeterPassed {
  if (!replacement) return passed({ openingM3, closingM3, meterDigits, mostM3 })
  const { oldLastM3, newFirstM3, newMeterDigits } = replacement
  const before = passed({ openingM3, closingM3: oldLastM3, meterDigits, mostM3 })
  const after = passed({ openingM3: newFirstM3, closingM3, meterDigits: newMeterDigits, mostM3 })
  const known = before.volumeM3 !== null && after.volumeM3 !== null
  return {
    volumeM3: known ? exactM3(before.volumeM3! + after.volumeM3!) : null,
    notes: [...new Set<MeterNote>(['meter-replaced', ...before.notes, ...after.notes])],
  }
}

/** The volume if the counter began again once between the readings; null without digits or when not believable. */
export function rolledOverM3({
  openingM3,
  closingM3,
  meterDigits,
  mostM3 = Number.POSITIVE_INFINITY,
}: Omit<MeterReadings, 'replacement'>): number | null {
  if (meterDigits === undefined) return null
  const rangeM3 = 10 ** meterDigits
  if (openingM3 >= rangeM3) return null
  const volumeM3 = exactM3(closingM3 + rangeM3 - openingM3)
  return volumeM3 < rangeM3 / 2 && volumeM3 <= mostM3 ? volumeM3 : null
}

function passed({ openingM3, closingM3, meterDigits, mostM3 }: Omit<MeterReadings, 'replacement'>): MeterPassed {
  checkedNumber(openingM3, 'openingM3')
  checkedNumber(closingM3, 'closingM3')
  if (meterDigits !== undefined && !(Number.isInteger(meterDigits) && meterDigits >= 1 && meterDigits <= 9)) {
    throw new RangeError(`a meter has 1 to 9 digits, not ${meterDigits}`)
  }
  const tooLong = meterDigits !== undefined && Math.max(openingM3, closingM3) >= 10 ** meterDigits
  const notes: MeterNote[] = tooLong ? ['reading-longer-than-meter'] : []
  if (closingM3 >= openingM3) return { volumeM3: exactM3(closingM3 - openingM3), notes }
  const volumeM3 = rolledOverM3({ openingM3, closingM3, meterDigits, mostM3 })
  return { volumeM3, notes: [...notes, volumeM3 === null ? 'closing-below-opening' : 'meter-rolled-over'] }
}
