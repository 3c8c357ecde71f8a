import { beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/book/entries.ts'
import { Rascal } from '../faults/nasty.ts'
import { type Route, routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'

/** What stands open to whoever knocks: the door, the first page, and the start of an empty book. */
const PUBLIC_PAGES = ['/', '/*', '/assets/*', '/sign-in', '/start', '/start?as=example', '/sign-in?as=example']
const PUBLIC_FORMS = ['/sign-in', '/sign-in/language', '/sign-out', '/start', '/start?as=example']

/**
 * What a neighbour's roles do not shut: their own password, code, sign-ins and what was kept for them, and two forms that look first at what is named in the address
 * (a paper book, a count that names its second person) and then at who asks.
 */
// A code is refused on a device that is not registered, whoever is signed in.
const FOR_EVERYBODY = [
  '401 /sign-in/:id',
  '404 /money/names/count/:id',
  '303 /people/kept/:id/end',
  '303 /people/sign-ins/:id/end',
  '303 /people/sign-ins/end',
  '422 /people/settle/password',
  '422 /people/settle/one-time-codes',
  '422 /people/settle/code',
  '404 /paper/:book/type',
  // A neighbour may complain and may appeal a word to themselves.
  '404 /people/names/warning/:id/appeal',
  '422 /people/complaints/new',
]

let valley: Awaited<ReturnType<typeof openValley>>
let routes: Route[]
const pages = () => routes.filter(({ method, path }) => method === 'GET' && !PUBLIC_PAGES.includes(path))
const forms = () => routes.filter(({ method, path }) => method === 'POST' && !PUBLIC_FORMS.includes(path))
/** A path with something in the place of every id; the guard comes before anything looks for it. */
const filled = (path: string) => path.replace(/:\w+/g, 'x')

beforeAll(async () => {
  valley = await openValley()
  routes = routesOf(valley.app.printRoutes({ commonPrefix: false }))
})

describe('every address of the book', () => {
  it('answers HEAD as GET, without the page', async () => {
    const { agent } = valley.visitor()
    for (const path of ['/sign-in', '/people', '/nowhere', '/assets/commonweir.css']) {
      const [head, get] = [await agent.head(path), await agent.get(path).redirects(0)]
      expect([path, head.status, head.headers['content-type']]).toEqual([path, get.status, get.headers['content-type']])
      expect([head.text ?? '', get.text !== '']).toEqual(['', get.status !== 303])
    }
  })

  it('is listed', () => {
    expect(pages().length).toBeGreaterThan(150)
    expect(forms().length).toBeGreaterThan(90)
    expect(pages()).toContainEqual({ method: 'GET', path: '/money/members/:personId' })
    expect(forms()).toContainEqual({ method: 'POST', path: '/money/names/voucher/:id' })
  })

  it('sends somebody who has not signed in to the door', async () => {
    const stranger = new Rascal(valley.app)
    const open: string[] = []
    for (const { path } of pages()) {
      const { status } = await stranger.open(filled(path))
      // The sound of a mark at the door: there is none where nobody goes by it.
      if (path === '/sign-in/:id.wav') expect(status).toBe(404)
      else if (status !== 303) open.push(`${status} ${path}`)
    }
    expect(open).toEqual([])
  })

  it('takes no form without its token, and with it none from somebody who has not signed in', async () => {
    const stranger = new Rascal(valley.app)
    const amaru = new Rascal(valley.app)
    await amaru.signIn('amaru')
    await stranger.open('/sign-in')
    const taken: string[] = []
    for (const { path } of [...forms(), ...PUBLIC_FORMS.map((one) => ({ path: one }))]) {
      const bare = await amaru.postRaw(filled(path), `_form=${newId()}`, 'application/x-www-form-urlencoded')
      if (bare.status !== 403) taken.push(`${bare.status} without a token: ${path}`)
    }
    for (const { path } of forms()) {
      const { status } = await stranger.post(filled(path), {})
      if (status !== 401) taken.push(`${status} from a stranger: ${path}`)
    }
    expect(taken).toEqual([])
  })

  it('takes no form from a neighbour, who may only look and choose a password', async () => {
    const isko = new Rascal(valley.app)
    await isko.signIn('isko')
    const taken: string[] = []
    for (const { path } of forms()) {
      const { status } = await isko.post(filled(path), {})
      if (status !== 403) taken.push(`${status} ${path}`)
    }
    expect(taken.toSorted()).toEqual(FOR_EVERYBODY.toSorted())
  })

  it('shows a neighbour nothing of money', async () => {
    const isko = new Rascal(valley.app)
    await isko.signIn('isko')
    const money =
      /^\/(money|statements|receipts|receipt-books|charges|payments|arrears|vouchers|reliefs|fines|tariffs)\b/
    const own = pages().filter(({ path }) => money.test(path))
    expect(own.length).toBeGreaterThan(20)
    for (const { path } of own) expect((await isko.open(filled(path))).status, path).toBe(403)
  })
})
