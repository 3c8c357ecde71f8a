import { expect, it } from 'vitest'
import * as wavefile from 'wavefile'
import { frameClip } from '../../../domain/people/voice/clips.ts'
import { cansOf } from '../../../domain/people/voice/sentence.ts'
import { joinedWave } from '../../../domain/people/voice/sound/join.ts'
import { fromALaw, fromMuLaw, toMuLaw } from '../../../domain/people/voice/sound/mu-law.ts'
import { monoOf } from '../../../domain/people/voice/sound/sound.ts'

interface Wave {
  fromScratch(channels: number, rateHz: number, depth: string, samples: Uint8Array | Int16Array): void
  fromMuLaw(): void
  fromALaw(): void
  toMuLaw(): void
  getSamples(): Float64Array
  data: { samples: Uint8Array }
}
const { WaveFile } = (wavefile as unknown as { default: { WaveFile: new () => Wave } }).default
const waveOf = (depth: string, samples: Uint8Array | Int16Array) => {
  const wave = new WaveFile()
  wave.fromScratch(1, 8000, depth, samples)
  return wave
}

const BYTES = Uint8Array.from({ length: 256 }, (_, byte) => byte)
const asWhole = (parts: Float32Array) => [...parts].map((one) => Math.round(one * 32_768) + 0)

it('each byte of a telephone line is the sample that another program reads, by either law', () => {
  const [mu, a] = [waveOf('8m', BYTES), waveOf('8a', BYTES)]
  mu.fromMuLaw()
  a.fromALaw()
  expect(asWhole(fromMuLaw(BYTES))).toEqual([...mu.getSamples()].map((one) => one + 0))
  expect(asWhole(fromALaw(BYTES))).toEqual([...a.getSamples()])
})

it('each sample becomes the byte that another program writes', () => {
  const all = Int16Array.from({ length: 65_536 }, (_, at) => at - 32_768)
  const wave = waveOf('16', all)
  wave.toMuLaw()
  const [own, other] = [toMuLaw(all), wave.data.samples]
  expect([...all].filter((_, at) => own[at] !== other[at])).toEqual([])
})

it('a file says its own length but for its first eight bytes, and ends on an even byte', () => {
  for (const bytes of [4, 5]) {
    const file = joinedWave([{ clip: new Uint8Array(bytes) }])
    expect(new DataView(file.buffer, file.byteOffset).getUint32(4, true)).toBe(file.length - 8)
    expect(file.length % 2).toBe(0)
  }
  expect(joinedWave([{ clip: new Uint8Array(5) }]).length).toBe(joinedWave([{ clip: new Uint8Array(6) }]).length)
})

it('several channels are their mean, one is itself and none is silence', () => {
  const [left, right] = [Float32Array.of(0.5, -1, 0.25), Float32Array.of(0.25, 1, 0.25)]
  expect([...monoOf([left, right])]).toEqual([0.375, 0, 0.25])
  expect([...monoOf([left])]).toEqual([...left])
  expect([...monoOf([])]).toEqual([])
})

it('one can and several are two clips, and a bare picture has no clip of a frame', () => {
  expect([0, 1, 2].map((count) => cansOf(count))).toEqual(
    ['jerrycans', 'jerrycan', 'jerrycans'].map((one) => ({ kind: 'clip', clip: one })),
  )
  expect((['bare', 'ring', 'box', 'ground'] as const).map(frameClip)).toEqual([null, 'inRing', 'inBox', 'onGround'])
})
