import { InputError } from '../input-error.ts'

/** Passes a figure that can be true and refuses one that cannot: not a number, endless, or below the least. */
export function checkedNumber(value: number, name: string, least = 0): number {
  if (!Number.isFinite(value)) throw new InputError('not-a-number', { field: name })
  if (value < least) throw new InputError('figure-too-small', { field: name, value, least })
  return value
}

/** As `checkedNumber`, in the unit in which it was given, and zero is refused too. */
export function checkedPositive(value: number, name: string): number {
  if (checkedNumber(value, name) === 0) throw new InputError('figure-is-zero', { field: name })
  return value
}
