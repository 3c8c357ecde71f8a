/** What is heard on one channel: samples as parts of one, so many in a second. */
export interface Sound {
  rateHz: number
  samples: Float32Array
}

/** Several channels as one, their mean. */
export function monoOf(channels: readonly Float32Array[]): Float32Array {
  const [first] = channels
  if (!first || channels.length === 1) return first ?? new Float32Array()
  return first.map((_, at) => channels.reduce((sum, own) => sum + (own[at] ?? 0), 0) / channels.length)
}
