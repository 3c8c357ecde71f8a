import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import * as wavefile from 'wavefile'
import { InputError } from '../../../domain/input-error.ts'
import { joinedWave } from '../../../domain/people/voice/sound/join.ts'
import { decodedClip } from '../../../server/people/voice/decoding/decode.ts'
import { clipFromFile } from '../../../server/people/voice/decoding/elsewhere.ts'

/** A second of 440 Hz, written by ffmpeg and sox in the formats of phones, messages and browsers. */
const recording = (name: string) => readFileSync(join(import.meta.dirname, 'files', name))
const RATE_HZ = 8000

interface Read {
  fmt: { audioFormat: number; numChannels: number; sampleRate: number; bitsPerSample: number }
  fact: { dwSampleLength: number }
  data: { samples: Uint8Array }
  fromMuLaw(): void
  getSamples(): Float64Array
}
const { WaveFile } = (wavefile as unknown as { default: { WaveFile: new (bytes: Uint8Array) => Read } }).default

/** The samples of a file as another program reads them, and what that says of its layout. */
function readElsewhere(file: Uint8Array) {
  const wave = new WaveFile(file)
  const layout = { ...wave.fmt, length: wave.fact.dwSampleLength }
  wave.fromMuLaw()
  return { layout, samples: wave.getSamples() }
}

/** Upward crossings of nothing a second. */
function hertzOf(samples: Float64Array): number {
  const ups = samples.filter((one, at) => at > 0 && samples[at - 1]! < 0 && one >= 0).length
  return (ups * RATE_HZ) / samples.length
}

it.each(['tone.mp3', 'tone.ogg', 'tone.webm', 'tone.amr', 'tone.3gp', 'alaw.wav', 'mulaw.wav', 'u8.wav'])(
  '%s comes out as the same tone for the same time, on one channel',
  async (name) => {
    const clip = await decodedClip(recording(name))
    const { layout, samples } = readElsewhere(joinedWave([{ clip }]))
    expect(layout).toMatchObject({ audioFormat: 7, numChannels: 1, sampleRate: RATE_HZ, bitsPerSample: 8 })
    expect(layout.length).toBe(samples.length)
    expect(samples.length / RATE_HZ).toBeCloseTo(1, 1)
    expect(Math.abs(hertzOf(samples) - 440)).toBeLessThan(10)
    // Seven tenths of the loudest that 16 bits hold.
    expect(Math.max(...samples) / 32_768).toBeCloseTo(0.7, 1)
  },
)

it('joins clips with rests between, to the sample', async () => {
  const clip = await decodedClip(recording('mulaw.wav'))
  const { samples } = readElsewhere(joinedWave([{ clip }, { restS: 0.5 }, { clip }]))
  expect(samples.length).toBe(2 * clip.length + RATE_HZ / 2)
  expect(Math.max(...samples.slice(clip.length, clip.length + RATE_HZ / 2).map(Math.abs))).toBe(0)
})

const refusalOf = (bytes: Buffer) =>
  decodedClip(bytes).then(
    () => 'taken',
    (error) => (error instanceof InputError ? error.code : String(error)),
  )

it('refuses what it cannot read, each by its own sentence, and never by breaking', async () => {
  expect(await refusalOf(recording('tone.m4a'))).toBe('sound-aac')
  expect(await refusalOf(Buffer.from('a letter, and no sound'))).toBe('sound-unknown')
  expect(await refusalOf(wavOf(Buffer.alloc(16_000, 128)))).toBe('sound-silent')
  expect(await refusalOf(wavOf(Buffer.from(Array.from({ length: 200_000 }, (_, at) => at % 256))))).toBe('sound-long')
  for (const name of ['tone.ogg', 'tone.webm', 'tone.3gp', 'tone.mp3', 'u8.wav'])
    for (const length of [12, 20, 40, 90, 300]) {
      const error = await clipFromFile(recording(name).subarray(0, length)).catch((one: unknown) => one)
      expect(Buffer.isBuffer(error) || error instanceof InputError, `${name} ${length}`).toBe(true)
    }
})

/** Bytes of eight bits, 8,000 a second, under the head of a file that another program wrote. */
function wavOf(bytes: Buffer): Buffer {
  const file = new (
    WaveFile as unknown as new () => {
      fromScratch(channels: number, rate: number, depth: string, samples: Buffer): void
      toBuffer(): Uint8Array
    }
  )()
  file.fromScratch(1, RATE_HZ, '8', bytes)
  return Buffer.from(file.toBuffer())
}
