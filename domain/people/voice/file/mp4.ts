import { InputError } from '../../../input-error.ts'

interface Track {
  /** As the description calls it: `samr` and `sawb` are AMR, `mp4a` is AAC. */
  codec: string
  samples: Uint8Array[]
}

const HOLDS = new Set(['moov', 'trak', 'mdia', 'minf', 'stbl'])
const LONG_SIZE = 1

/**
 * The samples of the first track of sound in a file of the ISO base media format (3GP, M4A). Throws InputError
 * `sound-unreadable` where there is none. Source: ISO/IEC 14496-12, sample tables (`stsd`, `stsz`, `stsc`, `stco`); from memory,
 * checked in tests on files that a browser wrote.
 */
export function trackOfMp4(bytes: Uint8Array): Track {
  const boxes = new Map<string, DataView>()
  for (const { type, body } of boxesOf(bytes)) {
    const isNextTrack = type === 'tkhd' && boxes.has('stco')
    if (isNextTrack) break
    boxes.set(type, new DataView(body.buffer, body.byteOffset, body.byteLength))
  }
  const [stsd, stsz, stsc, stco] = ['stsd', 'stsz', 'stsc', 'stco'].map((type) => boxes.get(type))
  if (!stsd || !stsz || !stsc || !stco) throw new InputError('sound-unreadable')
  try {
    const codec = String.fromCharCode(...[12, 13, 14, 15].map((at) => stsd.getUint8(at)))
    return { codec, samples: samplesOf(bytes, { stsz, stsc, stco }) }
  } catch (error) {
    // A table that is cut off is read beyond its end.
    if (error instanceof RangeError) throw new InputError('sound-unreadable')
    throw error
  }
}

function* boxesOf(bytes: Uint8Array): Generator<{ type: string; body: Uint8Array }> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  for (let at = 0; at + 8 <= bytes.length; ) {
    const short = view.getUint32(at)
    const isLong = short === LONG_SIZE && at + 16 <= bytes.length
    const size = isLong ? Number(view.getBigUint64(at + 8)) : short || bytes.length - at
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8))
    if (size < 8) return
    const body = bytes.subarray(at + (isLong ? 16 : 8), at + size)
    if (HOLDS.has(type)) yield* boxesOf(body)
    else yield { type, body }
    at += size
  }
}

interface Tables {
  stsz: DataView
  stsc: DataView
  stco: DataView
}

/** Chunks lie where `stco` says; how many samples each holds changes at the chunks that `stsc` names. */
function samplesOf(bytes: Uint8Array, { stsz, stsc, stco }: Tables): Uint8Array[] {
  const samples: Uint8Array[] = []
  const [sizeOfAll, count] = [stsz.getUint32(4), stsz.getUint32(8)]
  const runs = Array.from({ length: entries(stsc, 12) }, (_, at) => ({
    first: stsc.getUint32(8 + at * 12),
    samples: stsc.getUint32(12 + at * 12),
  }))
  for (let chunk = 1; chunk <= entries(stco, 4); chunk += 1) {
    let at = stco.getUint32(4 + chunk * 4)
    const inChunk = runs.findLast(({ first }) => first <= chunk)?.samples ?? 0
    for (let one = 0; one < inChunk && samples.length < count; one += 1) {
      const size = sizeOfAll || stsz.getUint32(12 + samples.length * 4)
      if (at + size > bytes.length) throw new InputError('sound-unreadable')
      samples.push(bytes.subarray(at, at + size))
      at += size
    }
  }
  return samples
}

/** As many as the table says and has room for. */
function entries(table: DataView, bytesEach: number): number {
  return Math.min(table.getUint32(4), Math.floor((table.byteLength - 8) / bytesEach))
}
