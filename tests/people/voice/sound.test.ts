import { describe, expect, it } from 'vitest'
import { saidCans, saidMinute, saidRound } from '../../../domain/people/voice/rounding.ts'
import { clipOf, RATE_HZ } from '../../../domain/people/voice/sound/clip.ts'
import { fromMuLaw } from '../../../domain/people/voice/sound/mu-law.ts'
import { readWave } from '../../../domain/people/voice/sound/wave-read.ts'

describe('a figure as one says it', () => {
  it.each([
    [0.24, 0],
    [0.25, 0.5],
    [19.7, 19.5],
    [20.4, 20],
    [99.4, 99],
    [104, 100],
    [105, 110],
    [994, 990],
    [1024, 1000],
    [1025, 1050],
    [1974, 1950],
    [2049, 2000],
    [2050, 2100],
    [9949, 9900],
    [10_499, 10_000],
    [10_500, 11_000],
    [-21.6, -22],
    [-19.3, -19.5],
  ])('%d is %d', (value, said) => expect(saidRound(value)).toBe(said))

  it('is a time back to five minutes, and whole cans, from a cubic metre on by tens', () => {
    expect([0, 4, 5, 479, 480].map(saidMinute)).toEqual([0, 0, 5, 475, 480])
    // Of cans of 20 litres 50 are a cubic metre.
    expect([0.019, 0.049, 0.999, 1, 1.09, 1.1].map((m3) => saidCans(m3, 20))).toEqual([1, 2, 50, 50, 50, 60])
    expect(saidCans(0.999, 25)).toBe(40)
    expect([0.999, 1].map((m3) => saidCans(m3, 24))).toEqual([42, 40])
  })
})

const chunk = (name: string, body: number[], size = body.length) => [
  ...[...name].map((sign) => sign.charCodeAt(0)),
  ...four(size),
  ...body,
  ...(body.length % 2 ? [0] : []),
]
const two = (value: number) => [value & 255, (value >> 8) & 255]
const four = (value: number) => [...two(value & 0xffff), ...two(value >>> 16)]
const format = (code: number, bits: number, channels = 1, rateHz = 8000) => [
  ...two(code),
  ...two(channels),
  ...four(rateHz),
  ...four(0),
  ...two(0),
  ...two(bits),
]
const wave = (...chunks: number[][]) => Uint8Array.from([...chunk('RIFF', []), 0, 0, 0, 0, ...chunks.flat()])
const samples = (...chunks: number[][]) =>
  [...readWave(wave(...chunks)).samples].map((one) => Math.round(one * 1e4) / 1e4)
const refused = (...chunks: number[][]) => expect(() => readWave(wave(...chunks))).toThrow('sound-unreadable')

describe('a wave file', () => {
  it('of any depth holds the same sound', () => {
    expect(samples(chunk('fmt ', format(1, 8)), chunk('data', [0, 128, 192, 255]))).toEqual([-1, 0, 0.5, 0.9922])
    expect(samples(chunk('fmt ', format(1, 16)), chunk('data', [...two(0x8000), ...two(0), ...two(0x4000)]))).toEqual([
      -1, 0, 0.5,
    ])
    expect(samples(chunk('fmt ', format(1, 24)), chunk('data', [0, 0, 0x80, 0, 0, 0x40, 0, 0x80, 0xff]))).toEqual([
      -1, 0.5, -0.0039,
    ])
    expect(samples(chunk('fmt ', format(1, 32)), chunk('data', [...four(0x80000000), ...four(0x40000000)]))).toEqual([
      -1, 0.5,
    ])
    const float = [...new Uint8Array(Float32Array.of(-0.25, 0.75).buffer)]
    expect(samples(chunk('fmt ', format(3, 32)), chunk('data', float))).toEqual([-0.25, 0.75])
  })

  it('of several channels is mixed to one, and cut to whole samples', () => {
    expect(samples(chunk('fmt ', format(1, 8, 2)), chunk('data', [128, 192, 0, 0, 255]))).toEqual([0.25, -1])
    expect(samples(chunk('fmt ', format(1, 16)), chunk('data', [...two(0x4000), 7]))).toEqual([0.5])
  })

  it('may have other chunks, of odd size too, a longer format, and no size where the recorder was stopped', () => {
    expect(
      samples(chunk('LIST', [1, 2, 3]), chunk('fmt ', format(1, 8)), chunk('note', []), chunk('data', [192])),
    ).toEqual([0.5])
    const longer = [...format(0xfffe, 8), ...two(22), ...two(8), ...four(0), ...two(1), ...Array(14).fill(0)]
    expect(samples(chunk('fmt ', longer), chunk('data', [192]))).toEqual([0.5])
    expect(samples(chunk('fmt ', format(1, 8)), chunk('data', [192, 64], 0))).toEqual([0.5, -0.5])
    expect(samples(chunk('fmt ', format(1, 8)), chunk('data', [192, 64], 9999))).toEqual([0.5, -0.5])
    expect(samples(chunk('fmt ', format(1, 8)), chunk('data', [192, 64], 1))).toEqual([0.5])
    expect(samples(chunk('fmt ', format(1, 8)), chunk('data', []))).toEqual([])
    // The format of a longer layout stands in its last two bytes where it says so, and nowhere else.
    const just = [...format(0xfffe, 8), ...two(8), ...two(8), ...four(0), ...two(1)]
    expect(samples(chunk('fmt ', just), chunk('data', [192]))).toEqual([0.5])
    expect(samples(chunk('fmt ', [...two(1), ...just.slice(2, 24), ...two(7)]), chunk('data', [192]))).toEqual([0.5])
  })

  it('is refused where it cannot be read', () => {
    refused()
    refused(chunk('fmt ', format(1, 8)))
    refused(chunk('data', [192]), chunk('fmt ', format(1, 8)))
    refused(chunk('fmt ', format(1, 8).slice(0, 10), 16))
    refused(chunk('fmt ', format(1, 8).slice(0, 14)), chunk('data', [192]))
    refused(chunk('fmt ', format(2, 8)), chunk('data', [192]))
    refused(chunk('fmt ', format(1, 12)), chunk('data', [192]))
    refused(chunk('fmt ', [...format(0xfffe, 8), 0, 0]), chunk('data', [192]))
    for (const channels of [0, 9]) refused(chunk('fmt ', format(1, 8, channels)), chunk('data', Array(9).fill(192)))
    for (const rateHz of [3999, 192_001]) refused(chunk('fmt ', format(1, 8, 1, rateHz)), chunk('data', [192]))
    for (const rateHz of [4000, 192_000])
      expect(readWave(wave(chunk('fmt ', format(1, 8, 8, rateHz)), chunk('data', Array(8).fill(192)))).rateHz).toBe(
        rateHz,
      )
  })
})

describe('a clip', () => {
  const tone = (seconds: number, hz: number, { rateHz = RATE_HZ, loud = 0.5 } = {}) =>
    Float32Array.from(
      { length: Math.round(seconds * rateHz) },
      (_, at) => loud * Math.sin((2 * Math.PI * hz * at) / rateHz),
    )
  const silence = (seconds: number) => new Float32Array(Math.round(seconds * RATE_HZ))
  const clip = (parts: Float32Array[], rateHz = RATE_HZ) => {
    const samples = new Float32Array(parts.reduce((length, part) => length + part.length, 0))
    let at = 0
    for (const part of parts) {
      samples.set(part, at)
      at += part.length
    }
    return clipOf({ rateHz, samples })
  }
  const loudest = (bytes: Uint8Array) => fromMuLaw(bytes).reduce((most, one) => Math.max(most, Math.abs(one)), 0)

  it('loses its silence but for a twentieth of a second at either end, and has one loudness', () => {
    const near = clip([silence(1), tone(0.5, 400), silence(2)])
    expect(near.length / RATE_HZ).toBeCloseTo(0.6, 2)
    expect(loudest(near)).toBeCloseTo(0.7, 1)
    const far = clip([silence(1), tone(0.5, 400, { loud: 0.02 }), silence(2)])
    expect(far.length).toBe(near.length)
    expect(loudest(far)).toBeCloseTo(loudest(near), 2)
    expect(clip([tone(0.5, 400)]).length).toBeLessThanOrEqual(0.5 * RATE_HZ)
  })

  it('hears what is above three hundredths of its loudest', () => {
    const with_ = (loud: number) => clip([tone(0.3, 400), silence(0.2), tone(0.1, 400, { loud })]).length / RATE_HZ
    expect(with_(0.5 * 0.032)).toBeGreaterThan(0.55)
    expect(with_(0.5 * 0.028)).toBeLessThan(0.4)
  })

  it('is refused where nothing is heard, or it is too long', () => {
    const at =
      (...parts: Float32Array[]) =>
      () =>
        clip(parts)
    expect(at(silence(1))).toThrow('sound-silent')
    expect(at(tone(1, 400, { loud: 0.004 }))).toThrow('sound-silent')
    expect(at(tone(1, 400, { loud: 0.006 }))).not.toThrow()
    expect(at(tone(0.09, 400))).toThrow('sound-silent')
    expect(at(tone(0.12, 400))).not.toThrow()
    expect(at(tone(15.01, 400))).toThrow('sound-long')
    expect(at(tone(14.99, 400))).not.toThrow()
    // What is loud from end to end is cut nowhere: a tenth of a second and fifteen are a clip, a sample less or more is none.
    const loud = (samples: number) => () =>
      clipOf({ rateHz: RATE_HZ, samples: new Float32Array(samples).fill(0.5) }).length
    expect([loud(800)(), loud(120_000)()]).toEqual([800, 120_000])
    expect(loud(799)).toThrow('sound-silent')
    expect(loud(120_001)).toThrow('sound-long')
  })

  it('keeps a voice at any rate, and lets what a telephone cannot carry fall away', () => {
    const [kept, lost] = [400, 6000].map((hz) =>
      clip([tone(0.4, 400, { rateHz: 16_000 }), tone(0.4, hz, { rateHz: 16_000 })], 16_000),
    )
    const loudOf = (bytes: Uint8Array) => loudest(bytes.subarray(0.5 * RATE_HZ, 0.7 * RATE_HZ))
    expect(loudOf(kept!)).toBeGreaterThan(0.65)
    expect(lost!.length / RATE_HZ).toBeLessThan(0.5)
    const slow = fromMuLaw(clip([tone(0.4, 400, { rateHz: 4000 })], 4000))
    const crossings = slow.slice(800, 2400).filter((one, at, all) => at > 0 && one >= 0 !== all[at - 1]! >= 0).length
    expect(Math.abs(crossings - 160)).toBeLessThanOrEqual(2) // 400 Hz cross nought 800 times a second
    const misses = Array.from({ length: 1600 }, (_, at) => 800 + at).map((at) =>
      Math.abs(slow[at]! - 0.7 * Math.sin((2 * Math.PI * 400 * at) / RATE_HZ)),
    )
    expect(Math.max(...misses)).toBeLessThan(0.06)
  })
})
