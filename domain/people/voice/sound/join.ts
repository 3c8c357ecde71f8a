import { RATE_HZ } from './clip.ts'
import { waveOf } from './wave-write.ts'

/** Mu-law for nothing. */
const SILENCE = 0xff

/** A clip, or a rest of so many seconds. */
export type Heard = { clip: Uint8Array } | { restS: number }

/** Clips and rests one after the other as one sound file. */
export function joinedWave(parts: readonly Heard[]): Uint8Array {
  const bytes = parts.map((part) =>
    'clip' in part ? part.clip : new Uint8Array(Math.round(part.restS * RATE_HZ)).fill(SILENCE),
  )
  const whole = new Uint8Array(bytes.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const own of bytes) {
    whole.set(own, at)
    at += own.length
  }
  return waveOf(whole)
}
