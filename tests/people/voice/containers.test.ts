import { describe, expect, it } from 'vitest'
import { trackOfMp4 } from '../../../domain/people/voice/file/mp4.ts'
import { opusOfOgg, readOpusHead } from '../../../domain/people/voice/file/ogg.ts'
import { opusOfWebm } from '../../../domain/people/voice/file/webm.ts'

const signs = (text: string) => [...text].map((sign) => sign.charCodeAt(0))
const four = (value: number) => [value >>> 24, (value >> 16) & 255, (value >> 8) & 255, value & 255]
const refused = (read: () => unknown) => expect(read).toThrow(expect.objectContaining({ code: 'sound-unreadable' }))

describe('a file of boxes', () => {
  const box = (type: string, ...body: number[][]) => [...four(8 + body.flat().length), ...signs(type), ...body.flat()]
  const long = (type: string, body: number[]) => [
    ...four(1),
    ...signs(type),
    ...four(0),
    ...four(16 + body.length),
    ...body,
  ]
  const table = (type: string, ...values: number[]) => box(type, four(0), ...values.map(four))
  const coded = (codec: string) => box('stsd', four(0), four(1), four(16), signs(codec), four(0))
  /** Ten bytes of sound lie first, from the eighth byte of the file on: 10, 11 and so on to 19. */
  const SOUND = box('mdat', Array.from({ length: 10 }, (_, at) => [10 + at]).flat())
  const file = (...tables: number[][]) => Uint8Array.from([...SOUND, ...box('moov', box('trak', ...tables))])
  const samples = (bytes: Uint8Array) => trackOfMp4(bytes).samples.map((one) => [...one])

  /** Four samples of 1, 2, 3 and 1 bytes; two in the first chunk, one in each later one, which lie apart. */
  const TABLES = {
    stsd: coded('samr'),
    stco: table('stco', 3, 8, 12, 16),
    stsz: table('stsz', 0, 4, 1, 2, 3, 1),
    stsc: table('stsc', 2, 1, 2, 1, 2, 1, 1),
  }
  const with_ = (change: Partial<typeof TABLES>) => file(...Object.values({ ...TABLES, ...change }))
  const WHOLE = [[10], [11, 12], [14, 15, 16], [18]]

  it('has its samples where its chunks lie, as many in each and as long as its tables say', () => {
    expect(trackOfMp4(with_({})).codec).toBe('samr')
    expect(samples(with_({}))).toEqual(WHOLE)
    expect(samples(with_({ stsz: table('stsz', 2, 4) }))).toEqual([
      [10, 11],
      [12, 13],
      [14, 15],
      [18, 19],
    ])
    // No more samples than are counted, whatever the chunks would hold; the first three of them, too.
    expect(samples(with_({ stsz: table('stsz', 0, 1, 1, 2, 3, 1) }))).toEqual(WHOLE.slice(0, 1))
    expect(samples(with_({ stsz: table('stsz', 0, 3, 1, 2, 3, 1) }))).toEqual(WHOLE.slice(0, 3))
    expect(samples(with_({ stsc: table('stsc', 1, 2, 1, 1) }))).toEqual([[14], [18, 19]])
  })

  it('is read as far as a table has room, and as far as it says', () => {
    expect(samples(with_({ stco: table('stco', 9, 8, 12) }))).toEqual(WHOLE.slice(0, 3))
    expect(samples(with_({ stco: table('stco', 1, 8, 12, 16) }))).toEqual(WHOLE.slice(0, 2))
    expect(samples(with_({ stsc: table('stsc', 9, 1, 2, 1, 2, 1, 1) }))).toEqual(WHOLE)
    expect(samples(with_({ stsc: table('stsc', 1, 1, 2, 1, 2, 1, 1) }))).toEqual([...WHOLE.slice(0, 3), [17]])
  })

  it('may have boxes of a long size, stumps at its end, and a second track, which is left', () => {
    const { stsd, stco, stsz, stsc } = TABLES
    const inner = [...stsd, ...long('stco', stco.slice(8)), ...stsz, ...stsc]
    expect(samples(Uint8Array.from([...SOUND, ...box('moov', long('trak', inner))]))).toEqual(WHOLE)
    for (const stump of [[0, 0, 0], [...four(1), ...signs('free')], [...four(7), ...signs('free')], box('free')])
      expect(samples(Uint8Array.from([...with_({}), ...stump]))).toEqual(WHOLE)
    const first = box('trak', table('tkhd', 1), ...Object.values(TABLES))
    const second = box('trak', table('tkhd', 2), coded('mp4a'), table('stco', 1, 16), stsz, stsc)
    expect(samples(Uint8Array.from([...SOUND, ...box('moov', first, second)]))).toEqual(WHOLE)
    // A track without sound's tables before it is stepped over.
    const empty = box('trak', table('tkhd', 1))
    expect(samples(Uint8Array.from([...SOUND, ...box('moov', empty, first)]))).toEqual(WHOLE)
  })

  it('may end in a box that says no size and goes to its end, as a recorder writes it that was cut off', () => {
    const last = box('moov', box('trak', ...Object.values(TABLES)))
    expect(samples(Uint8Array.from([...SOUND, ...four(0), ...last.slice(4)]))).toEqual(WHOLE)
  })

  it('is refused without one of its tables, with a table cut off, or with sound beyond its end', () => {
    for (const name of Object.keys(TABLES))
      refused(() => trackOfMp4(file(...Object.entries(TABLES).flatMap(([own, one]) => (own === name ? [] : [one])))))
    refused(() => trackOfMp4(with_({ stsz: table('stsz', 0, 4, 1) })))
    refused(() => trackOfMp4(with_({ stsd: box('stsd', four(0)) })))
    refused(() => trackOfMp4(new Uint8Array()))
    const sized = (bytes: number) => with_({ stco: table('stco', 1, 8), stsz: table('stsz', bytes, 1) })
    const length = sized(1).length
    expect(samples(sized(length - 8))[0]).toHaveLength(length - 8)
    refused(() => trackOfMp4(sized(length - 7)))
  })
})

const head = (channels: number, { skip = 312, mapping = 0 } = {}) => [
  ...signs('OpusHead'),
  ...[1, channels, skip & 255, skip >> 8, 0, 0, 0, 0, 0, 0, mapping],
]

describe('a stream of Opus', () => {
  const page = (lengths: number[], body: number[]) => [
    ...signs('OggS'),
    ...Array(22).fill(0),
    lengths.length,
    ...lengths,
    ...body,
  ]
  const counted = (length: number, from = 0) => Array.from({ length }, (_, at) => (from + at) % 251)
  const START = [...page([19], head(2)), ...page([8], signs('OpusTags'))]

  it('gives its packets in order, joined where they run on over a full part and into the next page', () => {
    const bytes = [
      ...START,
      ...page([3, 255, 4], counted(262)),
      ...page([255, 255], counted(510)),
      ...page([1, 2], [250, 7, 8]),
      ...page([255, 0], counted(255)),
    ]
    const stream = opusOfOgg(Uint8Array.from([...bytes, ...Array(26).fill(9)]))
    expect(stream).toMatchObject({ channels: 2, preSkip: 312 })
    const run = [...counted(510), 250]
    expect(stream.packets.map((one) => [...one])).toEqual([[0, 1, 2], counted(259, 3), run, [7, 8], counted(255)])
    refused(() => opusOfOgg(Uint8Array.from([...bytes, ...Array(27).fill(9)])))
  })

  it('has one or two channels in the plain order, and a whole head', () => {
    expect([1, 2].map((channels) => readOpusHead(Uint8Array.from(head(channels))).channels)).toEqual([1, 2])
    for (const channels of [0, 3]) refused(() => readOpusHead(Uint8Array.from(head(channels))))
    refused(() => readOpusHead(Uint8Array.from(head(2, { mapping: 1 }))))
    refused(() => readOpusHead(Uint8Array.from(head(2).slice(0, 18))))
    refused(() => readOpusHead(Uint8Array.from([...signs('OpusTags'), ...head(2).slice(8)])))
    refused(() => readOpusHead(undefined))
    refused(() => opusOfOgg(Uint8Array.from(signs('RIFF and more than a page has before it'))))
  })
})

describe('a recording of a browser', () => {
  const element = (id: number[], body: number[]) => [...id, 0x80 | body.length, ...body]
  const block = (flags: number, ...frame: number[]) => [0x81, 0, 0, flags, ...frame]
  const [TRACK, CLUSTER, GROUP] = [[0xae], [0x1f, 0x43, 0xb6, 0x75], [0xa0]]
  const HEAD = element(TRACK, [...element([0x86], signs('A_OPUS')), ...element([0x63, 0xa2], head(1, { skip: 0 }))])
  const packets = (...parts: number[][]) => opusOfWebm(Uint8Array.from(parts.flat())).packets.map((one) => [...one])

  it('gives the frames of its blocks, alone or in a group, and steps over what it does not know', () => {
    const blocks = [
      ...element([0xa3], block(0x80, 1, 2)),
      ...element([0xe7], [9]),
      ...element(GROUP, element([0xa1], block(0, 3))),
      ...element([0xa3], block(0x08)),
    ]
    expect(packets(HEAD, element(CLUSTER, blocks))).toEqual([[1, 2], [3], []])
    // A part of unknown size, and a stump where the recorder was stopped.
    expect(packets(HEAD, [...CLUSTER, 0xff, ...blocks], [0xa3])).toEqual([[1, 2], [3], []])
    // A track number of two bytes.
    expect(packets(HEAD, element([0xa3], [0x40, 0x01, 0, 0, 0, 7]))).toEqual([[7]])
  })

  it('is refused with another codec, with several frames in a block, or a block cut off', () => {
    refused(() => packets(element(TRACK, element([0x86], signs('A_VORBIS')))))
    refused(() => packets(element(TRACK, element([0x86], signs('A_OPUS')))))
    for (const flags of [2, 4, 6]) refused(() => packets(HEAD, element([0xa3], block(flags, 1))))
    refused(() => packets(HEAD, element([0xa3], [0x81, 0, 0])))
    refused(() => packets(HEAD, element([0xa3], [0, 0, 0, 0, 1])))
  })
})
