import type { TestBook } from '../support/book.ts'
import { type Fields, filledFields, optionValue, type Seen, type Visitor } from '../support/visitor.ts'

export interface Refusal {
  /** The page, or its address. */
  at: Seen | string
  /** Which of its forms. */
  action?: string
  wrong: Fields
  /** What is changed of it for the form to be taken. Whatever begins with `~` is chosen by its words. */
  right: Fields
}

function chosen(page: Seen, fields: Fields): Fields {
  const value = (name: string, one: string) => (one.startsWith('~') ? optionValue(page, name, one.slice(1)) : one)
  return Object.fromEntries(
    Object.entries(fields).map(([name, one]) => [name, typeof one === 'string' ? value(name, one) : one]),
  )
}

/** Puts a cross wherever the book asks whether a rare figure is meant. */
async function surely(visitor: Visitor, page: Seen, action?: string): Promise<Seen> {
  const crosses = page.html.querySelectorAll('main [name="_sure"]').map((cross) => cross.getAttribute('value')!)
  return crosses.length > 0 ? visitor.send(page, { _sure: crosses }, action) : page
}

/**
 * Sends what a form does not take, and on the page that answers changes only what is wrong: so whatever was typed must have come
 * back. Tells what was answered, what of `wrong` stood there no more, and how many entries were written by each.
 */
export async function refusedThenTaken(
  { db }: Pick<TestBook, 'db'>,
  visitor: Visitor,
  { at, action, wrong, right }: Refusal,
) {
  const page = typeof at === 'string' ? await visitor.open(at) : at
  const before = await countEntries(db)
  const typed = chosen(page, wrong)
  const refused = await visitor.send(page, typed, action)
  const written = (await countEntries(db)) - before
  const back = filledFields(refused, action)
  const lost = Object.keys(typed).filter((name) => String(back[name] ?? '') !== String(typed[name]))
  const taken = await surely(visitor, await visitor.send(refused, chosen(refused, right), action), action)
  return {
    words: refused.words,
    /** The fields beside which something is said. */
    marked: refused.html.querySelectorAll('main [aria-invalid="true"]').map((field) => field.getAttribute('name')),
    taken,
    refusal: { status: refused.status, written, lost },
    mended: { status: taken.status, isWritten: (await countEntries(db)) > before },
  }
}

/** What must come out of it beside the words. */
export const REFUSED_THEN_TAKEN = {
  refusal: { status: 422, written: 0, lost: [] },
  mended: { status: 200, isWritten: true },
}

/** What must come out of a form that is no longer, or never was, somebody's to send, beside the words. */
export const TOO_LATE = { status: 409, written: 0 }

interface Late {
  at: string
  action?: string
  fields?: Fields
  /** What happens after the page was opened and before its form is sent. */
  meanwhile: () => Promise<unknown>
}

/** Sends a form of a page that stood open while something else happened; tells what was answered and how many entries it wrote. */
export async function sentTooLate(
  { db }: Pick<TestBook, 'db'>,
  visitor: Visitor,
  { at, action, fields = {}, meanwhile }: Late,
) {
  const page = await visitor.open(at)
  await meanwhile()
  return answerTo(db, () => visitor.send(page, chosen(page, fields), action))
}

/** Sends fields to an address whose form is not offered, with the keys of a form that is. */
export async function sentUnasked(
  { db }: Pick<TestBook, 'db'>,
  visitor: Visitor,
  { keysOf, to, fields = {} }: { keysOf: string; to: string; fields?: Fields },
) {
  const { _csrf, _form } = filledFields(await visitor.open(keysOf))
  return answerTo(db, async () =>
    visitor.read(
      await visitor.agent
        .post(to)
        .type('form')
        .send({ _csrf, _form, ...fields }),
      to,
    ),
  )
}

async function answerTo(db: TestBook['db'], send: () => Promise<Seen>) {
  const before = await countEntries(db)
  const { status, words } = await send()
  return { status, words, written: (await countEntries(db)) - before }
}

async function countEntries(db: TestBook['db']): Promise<number> {
  return (await db.selectFrom('entry').select('seq').execute()).length
}
