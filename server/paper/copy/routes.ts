import { createHash } from 'node:crypto'
import { daysBetween } from '../../../domain/calendar.ts'
import { newId } from '../../book/entries.ts'
import { endOfBook } from '../../book/verify.ts'
import { daysCopied } from '../../database/file/daily-copies.ts'
import { leavingCopy } from '../../database/file/write-copy.ts'
import { isPostgres } from '../../database/tables-of.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'

const MINUTES_KEPT = 30

interface Ready {
  key: string
  bytes: Buffer
  personId: string
  untilMs: number
}

/**
 * A copy of the book to take home, with its hash on the page. Whoever has it sees everybody's money, so only they may take it who see
 * that anyway.
 */
export function addCopyPages({ get, post }: Pages): void {
  const shelf: { ready: Ready | null } = { ready: null }
  get('/paper/copies', 'money.see-all', (desk) => showCopies(desk))
  post('/paper/copies', 'money.see-all', (desk) => makeCopy(desk, shelf))
  get('/paper/copies/:key', 'money.see-all', (desk) => sendCopy(desk, shelf))
}

async function showCopies(desk: Desk, made: { key: string; hash: string; kilobytes: number } | null = null) {
  const { copies } = desk.parts
  const last = copies ? (daysCopied(copies).at(-1) ?? null) : null
  return page(desk, 'paper/copies', {
    title: 'paper.copies.title',
    made: made && { ...made, groups: made.hash.match(/.{1,8}/g)! },
    bookEnd: await endOfBook(desk.db),
    wanted: Boolean(copies),
    isOnServer: isPostgres(desk.db),
    last: last && desk.format.date(last),
    isOld: last !== null && daysBetween(last, desk.today) > 1,
  })
}

/** Made at once, so that what is loaded afterwards is what the hash on the page is of. */
async function makeCopy(desk: Desk, shelf: { ready: Ready | null }) {
  if (isPostgres(desk.db)) throw new PageError(409, 'paper.copies.on-server')
  const bytes = await leavingCopy(desk.db)
  const key = newId()
  shelf.ready = { key, bytes, personId: desk.person.id, untilMs: desk.at.getTime() + MINUTES_KEPT * 60_000 }
  const hash = createHash('sha256').update(bytes).digest('hex')
  return showCopies(desk, { key, hash, kilobytes: Math.ceil(bytes.length / 1000) })
}

async function sendCopy(desk: Desk<'key'>, { ready }: { ready: Ready | null }) {
  const { params, person, at, reply } = desk
  if (ready?.key !== params.key || ready.personId !== person.id || ready.untilMs < at.getTime())
    throw new PageError(404, 'paper.copies.gone')
  return reply
    .type('application/vnd.sqlite3')
    .header('content-disposition', `attachment; filename="book-${desk.today}.sqlite"`)
    .send(ready.bytes)
}
