import { createHash, createHmac, randomBytes } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { sql } from 'kysely'
import type { Database } from '../database/connection.ts'
import { PageError } from '../web/pages/errors.ts'
import type { Pen } from './entries.ts'

/** Lives as long as the program and is written nowhere, so that no digest in the book helps to guess a password. */
const SECRET_KEY = randomBytes(32)

interface Writing {
  db: Database
  request: FastifyRequest
  reply: FastifyReply
  at: Date
  /** False for what is known to be of the right moment although the machine's clock is in doubt. */
  marksClock?: boolean
}

/**
 * Does the writing of one form in one transaction and sends the visitor on. `answer` makes the path of the page that
 * answers, from the id of the first entry that the form makes.
 */
export async function write(
  { db, request, reply, at, marksClock = true }: Writing,
  work: (pen: Pen) => Promise<unknown>,
  answer: (id: string) => string,
) {
  if (!request.person) throw new PageError(403, 'error.page-403')
  const form = formOf(request, answer)
  const writtenBy = request.person.id
  const mark = marksClock ? clockMark(request) : {}
  const path = await db.transaction().execute(async (trx) => {
    const earlier = await earlierAnswer(trx, form.key, () => form.digest)
    if (earlier !== null) return earlier
    let answered: string | null = null
    const once = { ...form, answer: (id: string) => (answered = answer(id)) }
    await work({ trx, writtenBy, writtenAt: at.toISOString(), form: once, ...mark })
    return answered
  })
  if (path === null) throw new PageError(409, 'error.nothing-to-write')
  return reply.redirect(path, 303)
}

/**
 * Writes the good part of a form whose other part comes back to be mended. It leaves the form's key unused, so that the same
 * form can come again: the caller sees to it that what it brought stands in the book then and is not written twice.
 */
export async function writePart(
  { db, request, at }: Pick<Writing, 'db' | 'request' | 'at'>,
  work: (pen: Pen) => Promise<unknown>,
): Promise<void> {
  if (!request.person) throw new PageError(403, 'error.page-403')
  const writtenBy = request.person.id
  await db
    .transaction()
    .execute(async (trx) => work({ trx, writtenBy, writtenAt: at.toISOString(), ...clockMark(request) }))
}

function clockMark({ visit: { clock } }: FastifyRequest): { machineAt?: string } {
  return clock.doubt ? { machineAt: clock.machineAt.toISOString() } : {}
}

/** The one-time key of a form and a digest of what was typed into it. */
export function formOf(request: FastifyRequest, answer: (id: string) => string) {
  const body = (request.body ?? {}) as Record<string, unknown>
  if (typeof body._form !== 'string' || body._form === '') throw new PageError(409, 'error.form-key-missing')
  return { key: body._form, digest: digestOfForm(request.url, body), answer }
}

/** Where the same form was sent before; null when it is new. A key that comes back with other figures is refused. */
async function earlierAnswer(db: Database, key: string, digest: () => string): Promise<string | null> {
  // Each form asks twice; in words that need no making.
  const { rows } = await sql<{ answer: string | null; digest: string | null }>`
    select form_answer as answer, form_digest as digest from entry where form_key = ${key}`.execute(db)
  const [earlier] = rows
  if (!earlier) return null
  if (earlier.digest !== digest()) throw new PageError(409, 'error.form-key-reused')
  return earlier.answer ?? '/'
}

/** Where the form of a request was answered before; null for a new one. Throws PageError 409 for its key with another answer. */
export async function answerBefore(db: Database, request: FastifyRequest): Promise<string | null> {
  const body = (request.body ?? {}) as Record<string, unknown>
  if (request.method !== 'POST' || typeof body._form !== 'string') return null
  return earlierAnswer(db, body._form, () => digestOfForm(request.url, body))
}

/**
 * A digest of the address that a form was sent to and of what was typed into it, so that a re-sent form is told from another
 * one. It costs next to nothing, whatever was sent. A form with a password that comes again after a new start is refused.
 */
function digestOfForm(address: string, body: Record<string, unknown>): string {
  const typed = Object.entries(body)
    .filter(([name]) => name !== '_csrf' && name !== 'code')
    .map(([name, value]) => [name, digested(name, value)])
    .sort(([a], [b]) => String(a).localeCompare(String(b)))
  return createHash('sha256')
    .update(JSON.stringify([address, ...typed]))
    .digest('hex')
}

function digested(name: string, value: unknown): unknown {
  if (/password/i.test(name) && value !== '')
    return createHmac('sha256', SECRET_KEY).update(String(value)).digest('base64')
  return Buffer.isBuffer(value) ? value.toString('base64') : value
}
