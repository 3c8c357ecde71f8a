import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { joinedWave } from '../../../domain/people/voice/sound/join.ts'
import { PASSWORD } from '../../../seed/load.ts'
import { decodedClip } from '../../../server/people/voice/decoding/decode.ts'
import { startedBook } from '../../support/book.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const WEEK = '/turns/weeks/2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
let amaru: Visitor
let hila: Visitor
let hilaId: string
beforeAll(async () => {
  valley = await openValley()
  amaru = await valley.signIn('amaru')
  hila = await valley.signIn('hila')
  const person = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'hila')
    .executeTakeFirst()
  hilaId = person!.entryId
})

const heardBy = (visitor: Visitor, path: string, head: Record<string, string> = {}) =>
  visitor.agent.get(path).set(head).buffer(true).parse(asBytes)
const asBytes = (answer: unknown, done: (error: Error | null, body: Buffer) => void) => {
  const response = answer as NodeJS.ReadableStream
  const parts: Buffer[] = []
  response.on('data', (part: Buffer) => parts.push(part))
  response.on('end', () => done(null, Buffer.concat(parts)))
}

/** Says aloud what a page has to be read, figures spelled out as about two words each. */
const wordsOf = (text: string) => text.split(/\s+/).length + (text.match(/\d+/g)?.length ?? 0) * 3

describe('what can be heard', () => {
  it('is the week, a turn, an account and the season, each as long as its words, and the season in under ten minutes', async () => {
    for (const [visitor, page, sound] of [
      [hila, `${WEEK}?as=aloud`, `${WEEK}.wav`],
      [amaru, '/money/report?as=aloud', '/money/report.wav'],
      [hila, `/money/members/${hilaId}?as=aloud`, `/money/members/${hilaId}.wav`],
    ] as const) {
      const shown = await visitor.open(page)
      expect(shown.html.querySelector('audio')?.getAttribute('src'), page).toBe(sound)
      expect(shown.html.querySelector('audio')?.getAttribute('preload')).toBe('none')
      const { status, headers, body } = await heardBy(visitor, sound)
      expect([status, headers['content-type'], headers['cache-control']]).toEqual([200, 'audio/wav', 'no-store'])
      const seconds = body.length / 8000
      const words = wordsOf(shown.html.querySelector('.aloud')!.textContent)
      // Between a slow and a fast voice.
      expect(words / (seconds / 60), page).toBeGreaterThan(60)
      expect(words / (seconds / 60), page).toBeLessThan(300)
      if (page.includes('report')) expect(words / 130).toBeLessThan(10)
    }
  })

  it('stands beside the button that calls a turn off, and the words of a turn are one tap from its card', async () => {
    const card = (await hila.open('/')).html.querySelector('.turn-card')!
    const off = card.querySelectorAll('li').find(({ text }) => text.includes('I cannot come'))!
    expect(off.querySelector('audio')!.getAttribute('src')).toBe('/turns/cannot-come.wav')
    const words = await hila.open(card.querySelector('a[href$="as=aloud"]')!.getAttribute('href')!)
    expect(words.words).toContain('Stop at that time, or when that much water has come')
  })

  it('comes in the part that a player asks for', async () => {
    const whole = (await heardBy(hila, `${WEEK}.wav`)).body as Buffer
    const tag = (await heardBy(hila, `${WEEK}.wav`)).headers.etag as string
    const part = await heardBy(hila, `${WEEK}.wav`, { range: 'bytes=0-99' })
    expect([part.status, part.headers['content-range']]).toEqual([206, `bytes 0-99/${whole.length}`])
    expect(part.body.equals(whole.subarray(0, 100))).toBe(true)
    const rest = await heardBy(hila, `${WEEK}.wav`, { range: 'bytes=100-', 'if-range': tag })
    expect(Buffer.concat([part.body, rest.body]).equals(whole)).toBe(true)
    const last = await heardBy(hila, `${WEEK}.wav`, { range: 'bytes=-10' })
    expect(last.body.equals(whole.subarray(-10))).toBe(true)
    const changed = await heardBy(hila, `${WEEK}.wav`, { range: 'bytes=100-', 'if-range': '"another"' })
    expect([changed.status, changed.body.length]).toEqual([200, whole.length])
    const beyond = await heardBy(hila, `${WEEK}.wav`, { range: `bytes=${whole.length}-` })
    expect([beyond.status, beyond.headers['content-range']]).toEqual([416, `bytes */${whole.length}`])
  })

  it('is allowed from this book alone', async () => {
    const { headers } = await hila.agent.get('/people/voice')
    expect(headers['content-security-policy']).toContain("media-src 'self'")
  })
})

describe('an account on a shared device', () => {
  it('is heard only by its person, after the code or password once more, for some minutes', async () => {
    const shared = valley.visitor()
    await shared.fill('/sign-in', { signInName: 'hila', password: PASSWORD, shared: 'yes' })
    const at = `/money/members/${hilaId}`
    const before = await shared.open(`${at}?as=aloud`)
    expect(before.html.querySelector('audio')).toBeNull()
    expect(before.words).toContain('Whoever stands near hears it too')
    expect((await heardBy(shared, `${at}.wav`)).status).toBe(403)
    expect((await shared.send(before, { code: 'not mine' })).status).toBe(422)
    const open = await shared.send(before, { code: PASSWORD })
    const src = open.html.querySelector('audio')!.getAttribute('src')!
    expect((await heardBy(shared, src)).status).toBe(200)
  })

  it('of somebody else is read by the treasurer and not heard', async () => {
    const fanta = await valley.signIn('fanta')
    expect((await fanta.open(`/money/members/${hilaId}?as=aloud`)).html.querySelector('audio')).toBeNull()
    expect((await heardBy(fanta, `/money/members/${hilaId}.wav`)).status).toBe(403)
  })
})

describe('a clip', () => {
  async function record(path: string, file = 'tone.ogg') {
    return send(path, readFileSync(join(import.meta.dirname, 'files', file)))
  }

  async function send(path: string, sound: Uint8Array) {
    const page = await amaru.open(path)
    const request = amaru.agent.post(path).attach('sound', Buffer.from(sound), 'recording')
    for (const input of page.html.querySelectorAll('main form input[type=hidden]'))
      request.field(input.getAttribute('name')!, input.getAttribute('value')!)
    return request
  }

  it('of a name is heard before the turn and the account of its person, and nobody else is called otherwise', async () => {
    const card = (await hila.open('/')).html.querySelector('.turn-card audio')!.getAttribute('src')!
    const account = `/money/members/${hilaId}`
    const before = (await hila.open(`${WEEK}?as=aloud`)).words
    expect(before).not.toContain('Hila Quarm,')
    expect((await hila.open(`${account}?as=aloud`)).words).not.toContain('Hila Quarm.')
    const wasLong = (await heardBy(hila, `${account}.wav`)).body.length
    const list = (await amaru.open('/people/voice?language=en')).words
    expect(list).toContain('Hila Quarm')
    expect((await record(`/people/voice/en/name-${hilaId}`)).status).toBe(303)
    expect((await hila.open(card.replace('.wav', '?as=aloud'))).words).toContain('Hila Quarm.')
    expect((await hila.open(`${WEEK}?as=aloud`)).words).toContain('Hila Quarm, from')
    expect((await hila.open(`${account}?as=aloud`)).words).toContain('Hila Quarm.')
    expect((await heardBy(hila, `${account}.wav`)).body.length).toBeGreaterThan(wasLong)
    // What is missing of the voice is counted without names.
    expect((await amaru.open('/people/voice?language=en')).words.split('Record')[0]).toBe(list.split('Record')[0])
  })

  it('is recorded anew by the committee; the one before stays in the book and is heard no more', async () => {
    const before = (await heardBy(amaru, '/people/voice/en/yourTurn.wav')).body as Buffer
    expect((await record('/people/voice/en/yourTurn')).status).toBe(303)
    const after = (await heardBy(amaru, '/people/voice/en/yourTurn.wav')).body as Buffer
    expect(after.equals(before)).toBe(false)
    const kept = await valley.db.selectFrom('voiceClip').select('language').where('clip', '=', 'yourTurn').execute()
    expect(kept).toHaveLength(2)
  })

  it('that cannot be read comes back with a sentence', async () => {
    const { status, text } = await record('/people/voice/en/from', 'tone.m4a')
    expect(status).toBe(422)
    expect(text).toContain('AAC')
  })

  const tone = (name: string) => readFileSync(join(import.meta.dirname, 'files', name))
  const seconds = async (count: number) => joinedWave(Array(count).fill({ clip: await decodedClip(tone('mulaw.wav')) }))

  it.each([
    ['a letter', async () => Buffer.from('a letter, and no sound'), 'This file is no sound that the book can read.'],
    [
      'the beginning of one',
      async () => tone('tone.ogg').subarray(0, 60),
      'cannot be read to its end. Record it again',
    ],
    ['a second of silence', async () => joinedWave([{ restS: 1 }]), 'Nothing can be heard in this recording.'],
    ['sixteen seconds', () => seconds(16), 'The recording is longer than 15 seconds. Say only what stands here.'],
  ])('of %s is refused in its own words, and one of fifteen seconds is taken', async (_what, sound, words) => {
    const path = '/people/voice/en/from'
    const clips = async () => (await valley.db.selectFrom('voiceClip').select('entryId').execute()).length
    const before = await clips()
    const refused = await send(path, await sound())
    expect([refused.status, refused.text, await clips()]).toEqual([422, expect.stringContaining(words), before])
    expect((await send(path, await seconds(15))).status).toBe(303)
    expect(await clips()).toBe(before + 1)
  })
})

it('a book without a voice offers no sound, and has the words to be read aloud', async () => {
  const { ada } = await startedBook('2026-06-04T05:00:00Z')
  const list = await ada.open('/people/voice?as=sheet')
  expect(list.words).toContain('122 of 122 are missing')
  expect((await heardBy(ada, '/turns/cannot-come.wav')).status).toBe(404)
})
