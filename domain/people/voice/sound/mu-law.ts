const BIAS = 0x84
const CLIP = 32_635

/**
 * 16-bit samples as the eight bits of a telephone line. Source: ITU-T G.711, mu-law, in the usual way of adding 132 and taking the
 * highest bit (from memory; checked against an independent reader in tests).
 */
export function toMuLaw(samples: Int16Array): Uint8Array {
  return Uint8Array.from(samples, byteOf)
}

function byteOf(sample: number): number {
  const sign = sample < 0 ? 0x80 : 0
  const size = Math.min(Math.abs(sample), CLIP) + BIAS
  const exponent = 24 - Math.clz32(size)
  const mantissa = (size >> (exponent + 3)) & 0x0f
  return ~(sign | (exponent << 4) | mantissa) & 0xff
}

/** The same back, as parts of one. */
export function fromMuLaw(bytes: Uint8Array): Float32Array {
  return Float32Array.from(bytes, (byte) => {
    const bits = ~byte & 0xff
    const size = ((((bits & 0x0f) << 3) + BIAS) << ((bits & 0x70) >> 4)) - BIAS
    return (bits & 0x80 ? -size : size) / 32_768
  })
}

/** A-law, the other of the two: for files that bring it. Source: ITU-T G.711, from memory, checked as above. */
export function fromALaw(bytes: Uint8Array): Float32Array {
  return Float32Array.from(bytes, (byte) => {
    const bits = byte ^ 0x55
    const exponent = (bits & 0x70) >> 4
    const low = ((bits & 0x0f) << 4) + 8
    const size = exponent === 0 ? low : (low + 0x100) << (exponent - 1)
    return (bits & 0x80 ? size : -size) / 32_768
  })
}
