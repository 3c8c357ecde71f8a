import { beforeAll, expect, it } from 'vitest'
import { type FoundForm, formsOn, kindOf, pagesOf, Rascal } from '../faults/nasty.ts'
import { openValley, readerOfValley } from '../support/valley.ts'

/** One of each office, and a member. */
const NAMES = ['amaru', 'fanta', 'hila', 'dovi', 'goro'] as const
type Name = (typeof NAMES)[number]
const WALKS: Name[] = ['amaru', 'fanta', 'hila']

interface Offer {
  path: string
  form: FoundForm
}

/** They end the sign-in with which everything else is tried. */
const LEFT_OUT = /^\/people\/sign-ins|^\/sign-out|^\/practice/

/** Says which turns of the day nobody wrote anything of. */
const TELLS_WHAT_IS_OPEN = /^\/log\/days\/[^/]+\/close$/

let valley: Awaited<ReturnType<typeof openValley>>
const as = {} as Record<Name, Rascal>
const offers = {} as Record<Name, Offer[]>

const withForms = new Set<string>()

async function opened(rascal: Rascal, paths: readonly string[]) {
  return Promise.all(paths.map((path) => rascal.open(path)))
}

const countEntries = async () => (await valley.db.selectFrom('entry').select('seq').execute()).length

beforeAll(async () => {
  valley = await openValley()
  for (const name of NAMES) {
    as[name] = new Rascal(valley.app)
    await as[name].signIn(name)
    const found = new Map<string, Offer>()
    // Whoever has no pages of their own kind is shown those on which the others found forms.
    const pages = WALKS.includes(name)
      ? await pagesOf(await readerOfValley(name))
      : await opened(as[name], [...withForms])
    for (const { path, html } of pages)
      for (const form of formsOn(html)) {
        withForms.add(path)
        const kind = kindOf(form.action) + form.action.replace(/^[^?]*/, '')
        if (!LEFT_OUT.test(form.action) && !form.multipart) found.set(kind, { path, form })
      }
    offers[name] = [...found.values()]
  }
})

it('what is not offered to somebody on a page is refused when it is sent past the page, and leaves nothing in the book', async () => {
  const taken: string[] = []
  let tried = 0
  for (const name of NAMES)
    for (const other of NAMES.filter((one) => one !== name))
      for (const { path, form } of offers[name]) {
        const { status: opened, html } = await as[other].open(path)
        if (opened !== 200 || formsOn(html).some(({ action }) => action === form.action)) continue
        const before = await countEntries()
        const { status } = await as[other].post(form.action, form.willing)
        tried++
        if (status < 400 || (await countEntries()) !== before)
          taken.push(`${other} ${form.action} (as on ${path} of ${name}): ${status}`)
      }
  expect(tried).toBeGreaterThan(20)
  expect(taken).toEqual([])
})

it.each(NAMES)('what is offered to %s is taken, or answered with what to fill in', async (name) => {
  const refused: string[] = []
  let sent = 0
  for (const { path, form } of offers[name]) {
    const { html } = await as[name].open(path)
    const found = html.querySelectorAll('main form').find((one) => one.getAttribute('action') === form.action)
    if (!found) continue
    const button = found.querySelector('button[name]')
    const pressed = button ? { [button.getAttribute('name')!]: button.getAttribute('value')! } : {}
    const { status } = await as[name].post(form.action, { ...form.willing, ...pressed })
    sent++
    if (![200, 303, 422].includes(status) && !TELLS_WHAT_IS_OPEN.test(form.action))
      refused.push(`${form.action} (on ${path}): ${status}`)
  }
  expect(sent).toBeGreaterThan(3)
  expect(refused).toEqual([])
})
