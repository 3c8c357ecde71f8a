import { decoder as amrDecoder } from '@audio/decode-amr'
import { MPEGDecoder } from 'mpg123-decoder'
import { OpusDecoder } from 'opus-decoder'
import { InputError } from '../../../../domain/input-error.ts'
import { trackOfMp4 } from '../../../../domain/people/voice/file/mp4.ts'
import { type OpusStream, opusOfOgg } from '../../../../domain/people/voice/file/ogg.ts'
import { opusOfWebm } from '../../../../domain/people/voice/file/webm.ts'
import { clipOf, RATE_HZ } from '../../../../domain/people/voice/sound/clip.ts'
import { monoOf, type Sound } from '../../../../domain/people/voice/sound/sound.ts'
import { readWave } from '../../../../domain/people/voice/sound/wave-read.ts'

/** No more of a recording is decoded: what is longer is refused, so that a small file cannot fill the memory. */
const MOST_DECODED_S = 60
/** Handed to a decoder at a time, so that even the densest gives no more than a minute. */
const SLICE_BYTES = 4096

/**
 * A recording of any of the named formats as a clip of the book. Throws InputError `sound-unknown` for a format that is not
 * known, `sound-aac` for one that is and cannot be read, `sound-unreadable`, and those of `clipOf`.
 */
export async function decodedClip(bytes: Uint8Array): Promise<Uint8Array> {
  const known = FORMATS.find(({ fits }) => fits(bytes))
  if (!known) throw new InputError('sound-unknown')
  return clipOf(await known.read(bytes))
}

const startsWith = (word: string, at = 0) => {
  return (bytes: Uint8Array) => String.fromCharCode(...bytes.subarray(at, at + word.length)) === word
}
/** Eleven set bits begin a frame of MPEG sound; `layer` zero is AAC in the same dress (ADTS). */
const isMpegFrame = ([first, second = 0]: Uint8Array) => first === 0xff && second >= 0xe0

const FORMATS: readonly {
  fits: (bytes: Uint8Array) => boolean
  read: (bytes: Uint8Array) => Sound | Promise<Sound>
}[] = [
  { fits: (bytes) => startsWith('RIFF')(bytes) && startsWith('WAVE', 8)(bytes), read: readWave },
  { fits: startsWith('OggS'), read: (bytes) => fromOpus(opusOfOgg(bytes)) },
  { fits: startsWith('\x1aE\xdf\xa3'), read: (bytes) => fromOpus(opusOfWebm(bytes)) },
  { fits: startsWith('#!AMR'), read: fromAmr },
  { fits: startsWith('ftyp', 4), read: fromMp4 },
  { fits: (bytes) => isMpegFrame(bytes) && (bytes[1]! & 0x06) === 0, read: refuseAac },
  { fits: (bytes) => startsWith('ID3')(bytes) || isMpegFrame(bytes), read: fromMp3 },
]

async function fromOpus({ packets, channels, preSkip }: OpusStream): Promise<Sound> {
  const decoder = new OpusDecoder({
    channels,
    sampleRate: RATE_HZ,
    streamCount: 1,
    coupledStreamCount: channels - 1,
    channelMappingTable: [0, 1].slice(0, channels),
  })
  await decoder.ready
  try {
    const sound = collected(packets.map((packet) => () => ({ ...decoder.decodeFrame(packet) })))
    return { ...sound, samples: sound.samples.subarray(Math.round((preSkip * RATE_HZ) / 48_000)) }
  } finally {
    decoder.free()
  }
}

async function fromMp3(bytes: Uint8Array): Promise<Sound> {
  const decoder = new MPEGDecoder()
  await decoder.ready
  try {
    return collected(slicesOf(bytes).map((slice) => () => decoder.decode(slice)))
  } finally {
    decoder.free()
  }
}

async function fromAmr(bytes: Uint8Array): Promise<Sound> {
  const decoder = await amrDecoder()
  try {
    return collected(slicesOf(bytes).map((slice) => () => decoder.decode(slice)))
  } finally {
    decoder.free()
  }
}

/** The first line of a file of AMR frames. Source: RFC 4867, section 5. */
const AMR_LINES: Record<string, string> = { samr: '#!AMR\n', sawb: '#!AMR-WB\n' }

function fromMp4(bytes: Uint8Array): Promise<Sound> {
  const { codec, samples } = trackOfMp4(bytes)
  const line = AMR_LINES[codec]
  return line ? fromAmr(Buffer.concat([Buffer.from(line), ...samples])) : refuseAac()
}

function refuseAac(): never {
  throw new InputError('sound-aac')
}

function slicesOf(bytes: Uint8Array): Uint8Array[] {
  const count = Math.ceil(bytes.length / SLICE_BYTES)
  return Array.from({ length: count }, (_, at) => bytes.subarray(at * SLICE_BYTES, (at + 1) * SLICE_BYTES))
}

type Step = () => { channelData: Float32Array[]; sampleRate: number }

/** What the steps of a decoder give, one after the other, up to the longest that is looked at. */
function collected(steps: readonly Step[]): Sound {
  const parts: Float32Array[] = []
  let length = 0
  let rateHz = 0
  for (const step of steps) {
    const { channelData, sampleRate } = step()
    const [first] = channelData
    if (!first?.length) continue
    rateHz ||= sampleRate
    parts.push(monoOf(channelData))
    length += first.length
    if (length > MOST_DECODED_S * rateHz) throw new InputError('sound-long', { most: MOST_DECODED_S })
  }
  if (!length) throw new InputError('sound-unreadable')
  const samples = new Float32Array(length)
  let at = 0
  for (const part of parts) {
    samples.set(part, at)
    at += part.length
  }
  return { rateHz, samples }
}
