import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify'
import { InputError } from '../../../domain/input-error.ts'
import { NO_MARKS, page } from './page.ts'

type Status = 401 | 403 | 404 | 409 | 413 | 429 | 503

/** An answer written for the visitor; the words are a key of the catalogue. */
export class PageError extends Error {
  readonly statusCode: Status
  readonly key: string

  constructor(statusCode: Status, key: string) {
    super(key)
    this.statusCode = statusCode
    this.key = key
  }
}

/** An upload that is longer than its form takes. */
export class TooLarge extends Error {
  readonly statusCode = 413
}

/** 404 unless there is a record. */
export function found<T>(record: T | undefined): T {
  if (record === undefined) throw new PageError(404, 'error.page-404')
  return record
}

const WORDS: Record<number, string> = {
  403: 'error.page-403',
  404: 'error.page-404',
  409: 'error.page-409',
  413: 'error.page-413',
  429: 'error.page-429',
}

export async function showError(
  error: FastifyError | PageError | InputError,
  request: FastifyRequest,
  reply: FastifyReply,
) {
  const file = fileTrouble(error)
  const status = file ? 503 : brokeOff(error, request) ? 400 : statusOf(error)
  if (status >= 500 && !(error instanceof PageError))
    request.log.error({ err: error, cause: file?.cause }, 'request failed')
  const fallback = status >= 500 ? 'error.page-500' : 'error.page-400'
  const key = error instanceof PageError ? error.key : file ? `error.book-${file.trouble}` : (WORDS[status] ?? fallback)
  const words =
    error instanceof InputError && request.visit.locale.has(`error.${error.code}`)
      ? { key: `error.${error.code}`, values: error.values }
      : { key, values: {} }
  reply.code(status)
  // Nothing more is asked of a book that has just failed.
  if (status >= 500) Object.assign(request.visit, { marks: async () => NO_MARKS, coming: [] })
  return page({ request, reply }, 'error', {
    title: 'error.title',
    ...words,
    requestId: request.id,
    mustSignIn: status === 401,
    again: status === 503 && request.method === 'GET' ? request.url : null,
    typed: typedIn(request),
  })
}

/** An upload that ended on its way: its fields never became a body, and the reader of uploads gives no status of its own. */
function brokeOff(error: FastifyError | PageError | InputError, request: FastifyRequest): boolean {
  const isUpload = request.headers['content-type']?.startsWith('multipart/') ?? false
  return isUpload && !request.body && !('statusCode' in error) && !(error instanceof InputError)
}

/** What is wrong with the file of the book or its disk, by the code of SQLite, which goes into the log. */
function fileTrouble(error: Error): { trouble: string; cause: string } | null {
  const cause = String((error as { code?: unknown }).code ?? '')
  const found = FILE_TROUBLES.find(([code]) => code.test(cause))
  return found ? { trouble: found[1], cause } : null
}

const FILE_TROUBLES: [code: RegExp, trouble: string][] = [
  [/^SQLITE_FULL|^SQLITE_IOERR_(WRITE|FSYNC)|^ENOSPC$/, 'full'],
  [/^SQLITE_READONLY/, 'read-only'],
  [/^SQLITE_(BUSY|LOCKED)/, 'busy'],
  [/^SQLITE_(IOERR|CORRUPT|NOTADB)/, 'disk'],
]

function statusOf(error: FastifyError | PageError | InputError): number {
  // The domain cannot reckon with what stands in the book; the sentence says what to mend.
  if (error instanceof InputError) return 422
  // Two people wrote the same thing at the same moment: the first one stands, the second is told.
  if ('code' in error && /^SQLITE_CONSTRAINT_(UNIQUE|PRIMARYKEY)$/.test(error.code)) return 409
  if (error.message.startsWith('given already:')) return 409
  // Something chosen on the form is not in the book: the visitor's request, not a fault of ours.
  if ('code' in error && error.code === 'SQLITE_CONSTRAINT_FOREIGNKEY') return 400
  return error.statusCode ?? 500
}

/** What was typed is shown again, so that nothing is lost when a form cannot be taken. Secrets and files are left out. */
function typedIn(request: FastifyRequest): [string, string][] {
  // What came as bare text has no fields to show again.
  const isForm = request.method === 'POST' && typeof request.body === 'object'
  return Object.entries(isForm ? (request.body ?? {}) : {})
    .filter(([name, value]) => !name.startsWith('_') && !/password|code/i.test(name) && !Buffer.isBuffer(value))
    .map(([name, value]): [string, string] => [name, String(value)])
    .filter(([name, value]) => value !== '' && !CARRIED_ALONG.includes(name))
}

/** What a form carries by itself and nobody typed: which lines stood on the page, and in which place. */
const CARRIED_ALONG = ['digest', 'seen', 'key', 'mover']
