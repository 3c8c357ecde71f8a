import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import type { AllocationInput } from '../../../domain/rotation/allocation/types.ts'

/** What each claim was given before it was rounded down to litres, m3, from the level that it came to. */
export function exactM3(input: AllocationInput): Record<string, number> {
  const levels = new Map(allocate(input).claims.map(({ id, level }) => [id, level ?? 0]))
  return Object.fromEntries(
    input.claims.map(({ id, entitledM3, receivedM3, needM3 }) => {
      const weightM3 = entitledM3 > 0 ? entitledM3 : needM3
      return [id, weightM3 > 0 ? levels.get(id)! * weightM3 - receivedM3 : 0]
    }),
  )
}
