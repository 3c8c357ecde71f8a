import { RATE_HZ } from './clip.ts'

const MU_LAW = 7

/**
 * A sound file of mu-law bytes. Source: RIFF/WAVE, IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0
 * (1991), and the WAVE update of 1994, which asks for the size of an extension and a `fact` chunk wherever a format is not plain
 * PCM; layout from memory, checked by an independent reader and by a browser in tests.
 */
export function waveOf(muLaw: Uint8Array): Uint8Array {
  const padded = muLaw.length + (muLaw.length % 2)
  const header = 12 + 8 + 18 + 8 + 4 + 8
  const file = new Uint8Array(header + padded)
  const view = new DataView(file.buffer)
  let at = 0
  const text = (word: string) => {
    for (const sign of word) view.setUint8(at++, sign.charCodeAt(0))
  }
  const long = (value: number) => {
    view.setUint32(at, value, true)
    at += 4
  }
  const short = (value: number) => {
    view.setUint16(at, value, true)
    at += 2
  }
  text('RIFF')
  long(header + padded - 8)
  text('WAVE')
  text('fmt ')
  long(18)
  short(MU_LAW)
  short(1)
  long(RATE_HZ)
  long(RATE_HZ)
  short(1)
  short(8)
  short(0)
  text('fact')
  long(4)
  long(muLaw.length)
  text('data')
  long(muLaw.length)
  file.set(muLaw, at)
  return file
}
