import { createHash } from 'node:crypto'
import type { Desk } from './pages/desk.ts'

/**
 * Sends a sound whole or the part that is asked for: a phone's player asks for the first bytes, then for the rest. Source: RFC 9110,
 * sections 13.1.5 (If-Range) and 14 (ranges); of several ranges in one question the whole is sent, as the RFC allows.
 */
export function sendSound({ request, reply }: Pick<Desk, 'request' | 'reply'>, sound: Uint8Array) {
  const bytes = Buffer.from(sound.buffer, sound.byteOffset, sound.byteLength)
  const tag = `"${createHash('sha256').update(bytes).digest('base64url')}"`
  reply.type('audio/wav').header('accept-ranges', 'bytes').header('etag', tag)
  const isSame = (request.headers['if-range'] ?? tag) === tag
  const range = isSame ? rangeIn(request.headers.range, bytes.length) : null
  if (range === null) return reply.send(bytes)
  if (range === 'beyond') return reply.code(416).header('content-range', `bytes */${bytes.length}`).send()
  const { from, to } = range
  reply.code(206).header('content-range', `bytes ${from}-${to}/${bytes.length}`)
  return reply.send(bytes.subarray(from, to + 1))
}

/** `bytes=0-99`, `bytes=100-` or the last `bytes=-50`; null where the whole is meant, `beyond` where there is nothing there. */
function rangeIn(asked: string | undefined, length: number): { from: number; to: number } | 'beyond' | null {
  const match = /^bytes=(\d*)-(\d*)$/.exec(asked ?? '')
  if (!match) return null
  const [first, last] = [match[1]!, match[2]!]
  if (first === '' && last === '') return null
  const from = first === '' ? Math.max(0, length - Number(last)) : Number(first)
  const to = first === '' || last === '' ? length - 1 : Math.min(Number(last), length - 1)
  if (first !== '' && last !== '' && Number(last) < from) return null
  return from > to ? 'beyond' : { from, to }
}
