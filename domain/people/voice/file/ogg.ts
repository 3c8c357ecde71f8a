import { InputError } from '../../../input-error.ts'

/** What an Opus stream carries: its packets in order, and how many samples (at 48 kHz) to leave out at the start. */
export interface OpusStream {
  packets: Uint8Array[]
  channels: number
  preSkip: number
}

const HEADER = 27
const FULL_SEGMENT = 255

/**
 * The packets of an Ogg file with Opus in it, the way messages carry a voice. Throws InputError `sound-unreadable` for any other
 * Ogg file. Source: RFC 3533 (pages and segments), RFC 7845 (Opus in Ogg).
 */
export function opusOfOgg(bytes: Uint8Array): OpusStream {
  const [head, , ...packets] = packetsOf(bytes)
  return { ...readOpusHead(head), packets }
}

/** The first packet of a stream. Source: RFC 7845, section 5.1; only one stream of one or two channels is taken. */
export function readOpusHead(head: Uint8Array | undefined): Omit<OpusStream, 'packets'> {
  const isOpus = head && head.length >= 19 && String.fromCharCode(...head.subarray(0, 8)) === 'OpusHead'
  if (!isOpus || head[9]! < 1 || head[9]! > 2 || head[18] !== 0) throw new InputError('sound-unreadable')
  return { channels: head[9]!, preSkip: head[10]! + head[11]! * 256 }
}

function packetsOf(bytes: Uint8Array): Uint8Array[] {
  const packets: Uint8Array[] = []
  let open: Uint8Array[] = []
  for (let at = 0; at + HEADER <= bytes.length; ) {
    if (String.fromCharCode(...bytes.subarray(at, at + 4)) !== 'OggS') throw new InputError('sound-unreadable')
    const segments = bytes.subarray(at + HEADER, at + HEADER + bytes[at + 26]!)
    let from = at + HEADER + segments.length
    for (const length of segments) {
      open.push(bytes.subarray(from, from + length))
      from += length
      if (length === FULL_SEGMENT) continue
      packets.push(wholeOf(open))
      open = []
    }
    at = from
  }
  return packets
}

function wholeOf(parts: readonly Uint8Array[]): Uint8Array {
  if (parts.length === 1) return parts[0]!
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}
