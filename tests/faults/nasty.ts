import { type HTMLElement, parse } from 'node-html-parser'
import { PASSWORD } from '../../seed/load.ts'
import { newId } from '../../server/book/entries.ts'
import type { Routes } from '../support/book.ts'
import { linksOf, withoutListed } from '../support/walk.ts'

type Value = string | string[]
export type Body = Record<string, Value>

export interface FoundForm {
  action: string
  multipart: boolean
  /** What a willing person would send, by field. */
  willing: Body
}

/** Somebody who speaks to the app without a browser: signs in, opens pages and posts whatever comes to mind. */
export class Rascal {
  private readonly jar = new Map<string, string>()
  private token = ''
  private readonly app: Pick<Routes, 'inject'>

  constructor(app: Pick<Routes, 'inject'>) {
    this.app = app
  }

  async signIn(signInName: string): Promise<void> {
    await this.open('/sign-in')
    await this.post('/sign-in', { signInName, password: PASSWORD })
    await this.open('/')
  }

  async open(url: string) {
    const response = await this.app.inject({ method: 'GET', url, headers: { cookie: this.cookies() } })
    this.keep(response.cookies)
    const isPage = response.headers['content-type']?.toString().startsWith('text/html') === true
    if (isPage) this.token = /name="_csrf" value="([^"]*)"/.exec(response.body)?.[1] ?? this.token
    // A page is taken apart only for whoever asks for what stands on it.
    let html: HTMLElement | undefined
    return {
      ...{ path: url, status: response.statusCode, text: response.body, headers: response.headers },
      get html() {
        html ??= parse(isPage ? response.body : '')
        return html
      },
    }
  }

  async post(url: string, body: Body, form = newId()) {
    const parts = new URLSearchParams({ _csrf: this.token, _form: form })
    for (const [name, value] of Object.entries(body)) for (const one of [value].flat()) parts.append(name, one)
    return this.postRaw(url, parts.toString(), 'application/x-www-form-urlencoded')
  }

  async postRaw(url: string, payload: string | Buffer, type: string) {
    const headers = { cookie: this.cookies(), 'content-type': type }
    const response = await this.app.inject({ method: 'POST', url, payload, headers })
    this.keep(response.cookies)
    return { status: response.statusCode, text: response.body, headers: response.headers }
  }

  /** The fields that every form carries, as parts of an upload. */
  standingParts(): Body {
    return { _csrf: this.token, _form: newId() }
  }

  private cookies(): string {
    return [...this.jar].map(([name, value]) => `${name}=${value}`).join('; ')
  }

  private keep(cookies: readonly { name: string; value: string }[]): void {
    for (const { name, value } of cookies) this.jar.set(name, value)
  }
}

/** An address without its ids, days and numbers: pages of one kind share it. */
export function kindOf(path: string): string {
  return withoutListed(path)
    .replace(/[?#].*/, '')
    .split('/')
    .map((part) =>
      part
        .replace(/^[A-Za-z0-9]{16}$/, '*')
        .replace(/^\d{4}-\d{2}-\d{2}[-\w]*$/, '*')
        .replace(/^\d+$/, '*'),
    )
    .join('/')
}

/** Follows every kind of link once and gives the pages, for one visitor. */
export async function pagesOf<Page extends { text: string }>(visitor: {
  open(path: string): Promise<Page>
}): Promise<Page[]> {
  const queue = ['/']
  const known = new Set(queue)
  const pages: Page[] = []
  for (let path = queue.shift(); path !== undefined; path = queue.shift()) {
    const page = await visitor.open(path)
    pages.push(page)
    for (const target of linksOf(page.text)) {
      if (known.has(kindOf(target))) continue
      known.add(kindOf(target))
      queue.push(target)
    }
  }
  return pages
}

export function formsOn(html: HTMLElement): FoundForm[] {
  return html.querySelectorAll('main form[method="post"]').map((form) => ({
    action: form.getAttribute('action')!,
    multipart: form.getAttribute('enctype') === 'multipart/form-data',
    willing: willingFields(form),
  }))
}

function willingFields(form: HTMLElement): Body {
  const fields: Body = {}
  for (const control of form.querySelectorAll('input, select, textarea')) {
    const name = control.getAttribute('name')
    if (!name || name === '_csrf' || name === '_form') continue
    if (control.getAttribute('type') === 'radio' && !isWillingRing(control, fields[name])) continue
    fields[name] = willingValue(control)
  }
  return fields
}

/** Of some rings the chosen one, or else the first that says something. */
function isWillingRing(ring: HTMLElement, before: unknown): boolean {
  return ring.hasAttribute('checked') ? ring.getAttribute('value') !== '' : !before && ring.getAttribute('value') !== ''
}

function willingValue(control: HTMLElement): string {
  if (control.tagName === 'SELECT') {
    const options = control.querySelectorAll('option').map((option) => option.getAttribute('value') ?? '')
    const chosen = control.querySelector('option[selected]')?.getAttribute('value')
    return chosen || options.find((value) => value !== '') || ''
  }
  const standing = control.tagName === 'TEXTAREA' ? control.text : control.getAttribute('value')
  if (standing) return standing
  const type = control.getAttribute('type')
  if (type === 'date') return '2026-11-25'
  if (type === 'time') return '08:00'
  return '1'
}
