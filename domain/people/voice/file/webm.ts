import { InputError } from '../../../input-error.ts'
import { type OpusStream, readOpusHead } from './ogg.ts'

/** Elements that hold others, and those that are read; everything else is stepped over. */
const HOLDS = new Set([0x18538067, 0x1654ae6b, 0xae, 0x1f43b675, 0xa0])
const [CODEC_ID, CODEC_PRIVATE, SIMPLE_BLOCK, BLOCK] = [0x86, 0x63a2, 0xa3, 0xa1]

/**
 * The packets of a WebM file with Opus in it, the way browsers record. Throws InputError `sound-unreadable` for any other. Source:
 * RFC 8794 (EBML), RFC 9559 (Matroska; blocks in section 10, without lacing, as WebM asks for one track of sound).
 */
export function opusOfWebm(bytes: Uint8Array): OpusStream {
  const found: { codec: string; head?: Uint8Array; packets: Uint8Array[] } = { codec: '', packets: [] }
  for (const { id, body } of elements(bytes)) {
    if (id === CODEC_ID) found.codec = String.fromCharCode(...body)
    if (id === CODEC_PRIVATE) found.head = body
    if (id === SIMPLE_BLOCK || id === BLOCK) found.packets.push(frameOf(body))
  }
  if (found.codec !== 'A_OPUS') throw new InputError('sound-unreadable')
  return { ...readOpusHead(found.head), packets: found.packets }
}

/** A track number, two bytes of time and one of flags stand before the frame. */
function frameOf(block: Uint8Array): Uint8Array {
  const track = variable(block, 0)
  const flags = track ? block[track.length + 2] : undefined
  if (!track || flags === undefined || (flags & 0x06) !== 0) throw new InputError('sound-unreadable')
  return block.subarray(track.length + 3)
}

function* elements(bytes: Uint8Array): Generator<{ id: number; body: Uint8Array }> {
  for (let at = 0; at < bytes.length; ) {
    const id = variable(bytes, at, { keepsMarker: true })
    const size = id && variable(bytes, at + id.length)
    if (!id || !size) return
    const from = at + id.length + size.length
    // What is recorded as it goes has parts of unknown size: their own elements follow, up to the end.
    if (HOLDS.has(id.value)) at = from
    else {
      yield { id: id.value, body: bytes.subarray(from, from + size.value) }
      at = from + size.value
    }
  }
}

/** A number of one to eight bytes, whose length stands in its first bits. */
function variable(bytes: Uint8Array, at: number, { keepsMarker = false } = {}) {
  const first = bytes[at]
  if (!first) return null
  const length = Math.clz32(first) - 23
  let value = keepsMarker ? first : first & (0xff >> length)
  for (const byte of bytes.subarray(at + 1, at + length)) value = value * 256 + byte
  return { value, length }
}
