import { InputError } from '../../../input-error.ts'
import { toMuLaw } from './mu-law.ts'
import type { Sound } from './sound.ts'

/** Every clip of the book: one channel, a telephone's 8,000 samples of eight bits a second (ITU-T G.711). */
export const RATE_HZ = 8000
/** The longest sentence that is one clip takes eight seconds to say slowly. Own choice, no source. */
const MOST_CLIP_S = 15
const LEAST_CLIP_S = 0.1
/** What a quiet room and a phone's own hiss stay below, of the loudest. Own choice, no source. */
const SILENT = 0.03
/** Kept before and after what is heard, so that no first letter is cut. */
const MARGIN_S = 0.05
/** Clips that were spoken near and far come out as loud as each other. */
const LOUDEST = 0.7
/** Below this there is nothing but the room. */
const FAINTEST = 0.005

/**
 * A recording as the book keeps it: silence at both ends cut off, brought to one loudness and rate, in mu-law bytes. Throws
 * InputError `sound-silent` where nothing is heard, `sound-long` where it is longer than a clip may be.
 */
export function clipOf(sound: Sound): Uint8Array {
  const { samples } = resampled(sound, RATE_HZ)
  const loudest = samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0)
  if (!(loudest > FAINTEST)) throw new InputError('sound-silent')
  const heard = (one: number) => Math.abs(one) > loudest * SILENT
  const margin = Math.round(MARGIN_S * RATE_HZ)
  const from = Math.max(0, samples.findIndex(heard) - margin)
  const to = samples.findLastIndex(heard) + margin
  const own = samples.subarray(from, to)
  if (own.length < LEAST_CLIP_S * RATE_HZ) throw new InputError('sound-silent')
  if (own.length > MOST_CLIP_S * RATE_HZ) throw new InputError('sound-long', { most: MOST_CLIP_S })
  return toMuLaw(Int16Array.from(own, (one) => Math.round((one / loudest) * LOUDEST * 32_767)))
}

/** Zero crossings of the filter to either side. */
const LOBES = 12

/**
 * A sound at another rate, through a low-pass at the lower of both half rates (a sinc under a Hann window). Source: A. V. Oppenheim and
 * R. W. Schafer, Discrete-Time Signal Processing, sampling rate conversion; from memory.
 */
function resampled({ rateHz, samples }: Sound, toHz: number): Sound {
  if (rateHz === toHz) return { rateHz, samples }
  const step = rateHz / toHz
  const width = Math.max(1, step)
  const reach = LOBES * width
  const length = Math.floor(samples.length / step)
  const out = new Float32Array(length)
  for (let at = 0; at < length; at += 1) {
    const middle = at * step
    const first = Math.max(0, Math.ceil(middle - reach))
    const last = Math.min(samples.length - 1, Math.floor(middle + reach))
    let sum = 0
    let weights = 0
    for (let from = first; from <= last; from += 1) {
      const weight = kernel((from - middle) / width)
      sum += samples[from]! * weight
      weights += weight
    }
    out[at] = weights === 0 ? 0 : sum / weights
  }
  return { rateHz: toHz, samples: out }
}

function kernel(x: number): number {
  if (x === 0) return 1
  const turn = Math.PI * x
  return (Math.sin(turn) / turn) * (0.5 + 0.5 * Math.cos(turn / LOBES))
}
