import { InputError } from '../../../input-error.ts'
import { fromALaw, fromMuLaw } from './mu-law.ts'
import { monoOf, type Sound } from './sound.ts'

interface Layout {
  format: number
  channels: number
  rateHz: number
  bits: number
}

const EXTENSIBLE = 0xfffe

/**
 * What a RIFF/WAVE file holds, its channels mixed to one: PCM of 8 to 32 bits, floats, mu-law and A-law. Throws InputError
 * `sound-unreadable` for any other. Source as of `wave-write.ts`.
 */
export function readWave(bytes: Uint8Array): Sound {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  let layout: Layout | null = null
  for (let at = 12; at + 8 <= bytes.length; ) {
    const name = String.fromCharCode(...bytes.subarray(at, at + 4))
    const size = view.getUint32(at + 4, true)
    const body = at + 8
    if (name === 'fmt ' && size >= 16 && body + size <= bytes.length) layout = layoutAt(view, body, size)
    // A recorder that was stopped hard leaves a size that is too large or none.
    if (name === 'data' && layout) return soundOf(layout, bytes.subarray(body, size ? body + size : undefined))
    at = body + size + (size % 2)
  }
  throw new InputError('sound-unreadable')
}

function layoutAt(view: DataView, at: number, size: number): Layout {
  const format = view.getUint16(at, true)
  return {
    format: format === EXTENSIBLE && size >= 26 ? view.getUint16(at + 24, true) : format,
    channels: view.getUint16(at + 2, true),
    rateHz: view.getUint32(at + 4, true),
    bits: view.getUint16(at + 14, true),
  }
}

function soundOf({ format, channels, rateHz, bits }: Layout, data: Uint8Array): Sound {
  const read = READERS[`${format}/${bits}`]
  if (!read || channels < 1 || channels > 8 || rateHz < 4000 || rateHz > 192_000)
    throw new InputError('sound-unreadable')
  const all = read(data)
  const each = Array.from({ length: channels }, (_, own) =>
    // A last sample that was cut off is dropped with the fraction of a length.
    Float32Array.from({ length: all.length / channels }, (_, at) => all[at * channels + own]!),
  )
  return { rateHz, samples: monoOf(each) }
}

type Read = (data: Uint8Array) => Float32Array

const each = (bytesEach: number, value: (view: DataView, at: number) => number): Read => {
  return (data) => {
    const view = new DataView(data.buffer, data.byteOffset, data.byteLength)
    return Float32Array.from({ length: data.length / bytesEach }, (_, at) => value(view, at * bytesEach))
  }
}

const READERS: Record<string, Read> = {
  '1/8': (data) => Float32Array.from(data, (byte) => (byte - 128) / 128),
  '1/16': each(2, (view, at) => view.getInt16(at, true) / 2 ** 15),
  '1/24': each(3, (view, at) => (view.getUint16(at, true) + view.getInt8(at + 2) * 2 ** 16) / 2 ** 23),
  '1/32': each(4, (view, at) => view.getInt32(at, true) / 2 ** 31),
  '3/32': each(4, (view, at) => view.getFloat32(at, true)),
  '6/8': fromALaw,
  '7/8': fromMuLaw,
}
