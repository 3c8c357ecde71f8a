import type { HTMLElement } from 'node-html-parser'
import { beforeAll, describe, expect, it } from 'vitest'
import { ROLES } from '../../domain/people/permissions.ts'
import { SIGN_INS } from '../../seed/load.ts'
import { readBook } from '../../server/book/merge/whole-entry.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { openValley, readerOfValley } from '../support/valley.ts'
import { type Body, type FoundForm, formsOn, kindOf, pagesOf, Rascal } from './nasty.ts'

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = 600_000

interface Form extends FoundForm {
  key: string
  who: Rascal
  /** Fields in which a number is typed. */
  numbers: string[]
}

let valley: Awaited<ReturnType<typeof openValley>>
/** Two of each kind of form, of one page where a page has two. */
const forms = new Map<string, Form[]>()
const faults: string[] = []
let pages = 0

beforeAll(async () => {
  valley = await openValley()
  for (const role of ROLES) {
    const who = new Rascal(valley.app)
    const { signInName } = SIGN_INS.find(({ roles }) => roles[0] === role)!
    await who.signIn(signInName)
    for (const { path, html } of await pagesOf(await readerOfValley(signInName))) {
      pages++
      keep(who, path, html)
    }
  }
}, PATIENCE_MS)

function keep(who: Rascal, path: string, html: HTMLElement): void {
  const elements = html.querySelectorAll('main form[method="post"]')
  const found = formsOn(html).map((form, at): Form => {
    const key = elements[at]!.querySelector('input[name="_form"]')?.getAttribute('value') ?? ''
    const numbers = elements[at]!.querySelectorAll('input[inputmode]').map((one) => one.getAttribute('name')!)
    return { ...form, key, who, numbers }
  })
  const keyed = found.filter(({ key }) => key !== '')
  if (new Set(keyed.map(({ key }) => key)).size !== keyed.length) faults.push(`two forms with one key: ${path}`)
  for (const form of keyed) {
    const kind = `${kindOf(form.action)} ${Object.keys(form.willing)}`
    const known = forms.get(kind) ?? []
    const siblings = keyed.filter((one) => kindOf(one.action) === kindOf(form.action)).length
    if (known.length === 0 || (known.length === 1 && siblings > 1)) forms.set(kind, [...known, form])
  }
}

const all = () => [...forms.values()].flat()
const entryCount = async () =>
  (
    await valley.db
      .selectFrom('entry')
      .select(({ fn }) => fn.countAll<number>().as('count'))
      .executeTakeFirstOrThrow()
  ).count

/** Sends a form and says how it was answered and how many entries it made. */
async function sent(form: Form, body: Body, action = form.action) {
  const before = await entryCount()
  const { status } = await form.who.post(action, body, form.key)
  return { status, made: (await entryCount()) - before }
}

describe('every form on every page, in every role', () => {
  it('carries a key of its own', () => {
    expect(faults).toEqual([])
    expect(pages).toBeGreaterThan(400)
    expect(all().length).toBeGreaterThan(100)
  })

  it(
    'is one act: sent again it makes nothing more, with another answer or to another address it is refused',
    async () => {
      const wrong: string[] = []
      let taken = 0
      for (const form of all()) {
        const first = await sent(form, form.willing)
        if (first.status !== 303) continue
        taken++
        if (first.made === 0) wrong.push(`taken, but nothing written: ${form.action}`)
        const again = await sent(form, form.willing)
        if (again.status !== 303 || again.made > 0) wrong.push(`sent twice: ${form.action} ${JSON.stringify(again)}`)
        const other = await sent(form, { ...form.willing, answer: 'another' })
        if (other.status !== 409 || other.made > 0) wrong.push(`Back and another answer: ${form.action}`)
        const elsewhere = await sent(form, form.willing, `${form.action}?of=another`)
        if (elsewhere.status !== 409 || elsewhere.made > 0) wrong.push(`the same key elsewhere: ${form.action}`)
      }
      expect(wrong).toEqual([])
      expect(taken).toBeGreaterThan(40)
      expect((await verifyBook(valley.db)).brokenAt).toBeNull()
    },
    PATIENCE_MS,
  )

  it(
    'with a nought in every number and nothing in what is left is answered in words and writes nothing empty',
    async () => {
      const wrong: string[] = []
      for (const form of all()) {
        const zeros = Object.fromEntries(form.numbers.map((name) => [name, '0']))
        const isChosen = (name: string) => !form.numbers.includes(name) && form.willing[name] !== '1'
        const chosen = Object.fromEntries(Object.entries(form.willing).filter(([name]) => isChosen(name)))
        const alone = form.numbers.map((name) => ({ ...chosen, [name]: '0' }))
        for (const body of [{ ...chosen, ...zeros }, chosen, zeros, ...alone]) {
          const { status } = await form.who.post(form.action, body)
          if (status >= 500) wrong.push(`${status} ${form.action} ${JSON.stringify(body)}`)
        }
      }
      expect(wrong).toEqual([])
      expect(await emptyEntries()).toEqual([])
    },
    PATIENCE_MS,
  )
})

/** Entries on which nothing hangs; only a line struck out has no facts. */
async function emptyEntries(): Promise<string[]> {
  const book = await readBook(valley.db)
  return book.filter(({ entry, facts }) => facts.length === 0 && !entry.correctsId).map(({ entry }) => entry.kind)
}
