import { InputError } from '../../../domain/input-error.ts'
import { readFigureLines } from '../../web/forms/figure-lines.ts'
import { type Filled, type ReadForm, withError } from '../../web/forms/forms.ts'
import type { RefillTest } from './types.ts'

/** Inside area of a chamber, from a tape. */
export function chamberAreaM2({
  shape,
  across,
  otherSide,
}: {
  shape: 'round' | 'box'
  across: number
  otherSide: number | null
}) {
  return shape === 'round' ? Math.PI * (across / 2) ** 2 : across * (otherSide ?? across)
}

/** The readings as typed, or what is wrong with them by their line. */
export function refillOfLines(
  text: string,
  { restCm, form }: { restCm: number; form: Filled },
): { readings: RefillTest['readings'] } | { problem: ReadForm<never> } {
  const refuse = (key: string, values = {}) => ({ problem: withError(form, 'readings', key, values) })
  try {
    const typed = readFigureLines(text, 2)
    if (typed.length < 2) return refuse('storage.error.refill-too-few')
    for (const [at, { line, figures }] of typed.entries()) {
      const [minutes, belowRimCm] = figures as [number, number]
      const before = typed[at - 1]?.figures[0]
      if (minutes < 0 || (before !== undefined && !(minutes > before)))
        return refuse('storage.error.refill-minutes', { line })
      if (!(belowRimCm > restCm)) return refuse('storage.error.refill-above-rest', { line, rest: restCm })
    }
    return { readings: typed.map(({ figures }) => ({ minutes: figures[0]!, belowRimCm: figures[1]! })) }
  } catch (error) {
    if (error instanceof InputError) return refuse(`storage.error.${error.code}`, error.values)
    throw error
  }
}
