import type { RequestListener, Server } from 'node:http'
import { type HTMLElement, parse } from 'node-html-parser'
import supertest from 'supertest'

export type Fields = Record<string, string | string[]>

const CHOOSING = '/people/settle/password'

const changed = new Set<string>()

/** What somebody of the tests chooses in place of the first password. */
export function chosen(password: string): string {
  return `${password} of my own`
}

export interface Seen {
  status: number
  path: string
  text: string
  html: HTMLElement
  /** The words of the page, white space folded. */
  words: string
}

/** A person with a browser without scripts: opens pages, fills the forms that stand on them, follows the answer. */
export class Visitor {
  readonly agent: ReturnType<typeof supertest.agent>

  /** A server in this process, or what answers in its place, or the address of one elsewhere. */
  constructor(server: Server | RequestListener | string) {
    // What is unpacked at once need not be packed; what a phone has to load is weighed by `browser/weight.test.ts`.
    this.agent = supertest.agent(server).set('accept-encoding', 'identity')
  }

  /** What the browser keeps, to be taken over by another that is to be signed in as this one is. */
  cookies(): string[] {
    return this.agent.jar.getCookies({ domain: '127.0.0.1', path: '/', secure: false, script: false }).map(String)
  }

  takeCookies(cookies: string[]): void {
    this.agent.jar.setCookies(cookies)
  }

  async open(path: string): Promise<Seen> {
    let response = await this.agent.get(path)
    let at = path
    for (let hop = 0; hop < 5 && response.status >= 300 && response.status < 400; hop++) {
      at = response.headers.location as string
      response = await this.agent.get(at)
    }
    return seen(response.status, at, response.text)
  }

  /** Opens the page, fills its form by the names of its fields, sends it, and gives the page that answers. */
  async fill(path: string, fields: Fields, { action }: { action?: string } = {}): Promise<Seen> {
    const page = await this.open(path)
    return this.send(page, fields, action)
  }

  /**
   * Sends the form of a page already opened; sending the same page again is what a bad network does. A form that only looks
   * something up may have the same address as the one that writes.
   */
  async send(page: Seen, fields: Fields, action?: string): Promise<Seen> {
    const form = formOf(page, action)
    if (!form) throw new Error(`no form ${action ?? ''} on ${page.path} (status ${page.status}): ${page.words}`)
    const target = form.getAttribute('action')!
    const body = { ...standingFields(form), ...fields }
    for (const name of Object.keys(fields)) {
      if (!form.querySelector(`[name="${name}"]`)) throw new Error(`no field '${name}' on ${page.path}`)
    }
    const files = form.querySelectorAll('input[type=file]').map((input) => input.getAttribute('name')!)
    const request = this.agent.post(target)
    const response =
      form.getAttribute('enctype') === 'multipart/form-data'
        ? await sendParts(request, body, files)
        : await request.type('form').send(body)
    const answer = await this.read(response, target)
    if (target !== '/sign-in') return answer
    // Whoever signs in with a password that an officer gave chooses one of their own, as everybody has to, and uses it from then on.
    const [name, given] = [String(fields.signInName), String(fields.password)]
    if (answer.status === 422 && changed.has(`${name} ${given}`))
      return this.send(page, { ...fields, password: chosen(given) })
    if (answer.path !== CHOOSING) return answer
    await this.send(answer, { oldPassword: given, password: chosen(given) }, '/people/settle/password')
    changed.add(`${name} ${given}`)
    return this.open('/')
  }

  /** The page that an answer leads to. */
  async read(
    response: { status: number; text: string; headers: Record<string, string> },
    target: string,
  ): Promise<Seen> {
    if (response.status < 300 || response.status >= 400) return seen(response.status, target, response.text)
    return this.open(response.headers.location!)
  }
}

async function sendParts(request: supertest.Test, body: Fields, files: string[]) {
  for (const [name, value] of Object.entries(body)) {
    if (files.includes(name)) {
      if (value) request.attach(name, Buffer.from(String(value)), 'upload.csv')
    } else for (const one of [value].flat()) request.field(name, one)
  }
  return request
}

/** The first form of a page that writes, or the one of an address. */
function formOf({ html }: Seen, action?: string): HTMLElement | undefined {
  const forms = html.querySelectorAll('main form[method=post]')
  return forms.find((one) => action === undefined || one.getAttribute('action') === action)
}

/** What stands in a form of a page. */
export function filledFields(page: Seen, action?: string): Fields {
  const form = formOf(page, action)
  return form ? standingFields(form) : {}
}

/** What a browser would send of a form that nobody touched. */
function standingFields(form: HTMLElement): Fields {
  const fields: Fields = {}
  for (const input of form.querySelectorAll('input')) {
    const name = input.getAttribute('name')
    const type = input.getAttribute('type')
    const box = type === 'checkbox'
    if (!name || type === 'file' || ((box || type === 'radio') && !input.hasAttribute('checked'))) continue
    const value = input.getAttribute('value') ?? ''
    fields[name] = box && fields[name] ? [fields[name], value].flat() : value
  }
  for (const area of form.querySelectorAll('textarea')) fields[area.getAttribute('name')!] = area.text
  for (const select of form.querySelectorAll('select')) {
    const chosen = select.querySelector('option[selected]') ?? select.querySelector('option')
    fields[select.getAttribute('name')!] = chosen?.getAttribute('value') ?? ''
  }
  return fields
}

/** Read only once somebody asks for what stands there: many pages are opened for their status or a word of their text. */
export function seen(status: number, path: string, text: string): Seen {
  let html: HTMLElement | undefined
  let words: string | undefined
  return {
    ...{ status, path, text },
    get html() {
      html ??= parse(text)
      return html
    },
    get words() {
      words ??= (this.html.querySelector('main') ?? this.html).textContent.replace(/\s+/g, ' ').trim()
      return words
    },
  }
}

/** What a line of a form may be answered with, from a list or as rings; without the answer that says nothing. */
export function answersOf(
  { html }: Pick<Seen, 'html'>,
  field: string,
): { value: string; words: string; holds: boolean }[] {
  const value = (one: HTMLElement) => one.getAttribute('value') ?? ''
  const options = html.querySelectorAll(`select[name="${field}"] option`)
  const rings = html.querySelectorAll(`input[type="radio"][name="${field}"]`)
  const labelOf = (ring: HTMLElement) => html.querySelector(`label[for="${ring.getAttribute('id')}"]`)!.text
  return [
    ...options.map((one) => ({ value: value(one), words: one.text.trim(), holds: one.hasAttribute('selected') })),
    ...rings.map((one) => ({ value: value(one), words: labelOf(one).trim(), holds: one.hasAttribute('checked') })),
  ].filter((one) => one.value !== '')
}

/** The value of the option of a select, or the box among ticks, whose words contain the given ones. */
export function optionValue(page: Seen, field: string, words: string): string {
  const option = page.html.querySelectorAll(`select[name="${field}"] option`).find((one) => one.text.includes(words))
  if (option) return option.getAttribute('value')!
  for (const box of page.html.querySelectorAll(`input[name="${field}"]`)) {
    const label = page.html.querySelector(`label[for="${box.getAttribute('id')}"]`)
    if (label?.text.includes(words)) return box.getAttribute('value')!
  }
  throw new Error(`no choice '${words}' for ${field} on ${page.path}`)
}
