import type { FastifyInstance } from 'fastify'
import { PageError } from './errors.ts'

/** More than any form has of a group of 200 households; a page of paper says itself that it has more. Own choice, no source. */
export const MOST_FIELDS = 2_000
/** What is sent before anybody is known: signing in, and beginning a book. */
export const MOST_FIELDS_OF_STRANGERS = 50
export const LONGEST_NAME = 100

/** Nothing looks at a post with more fields than its form can have, before anybody asks who sends it. */
export function addFieldLimit(app: FastifyInstance): void {
  app.addHook('preValidation', async ({ body, routeOptions }) => {
    if (typeof body !== 'object' || body === null) return
    const names = Object.keys(body)
    const count = Object.values(body).reduce<number>((sum, value) => sum + (Array.isArray(value) ? value.length : 1), 0)
    if (count > (routeOptions.config.mostFields ?? MOST_FIELDS) || names.some((name) => name.length > LONGEST_NAME))
      throw new PageError(413, 'error.too-many-fields')
  })
}

const books = new WeakMap<object, number>()
let lastBook = 0

/** For whom tries are counted, where the same routes serve many books. */
export function countedFor(book: object, who: string): string {
  if (!books.has(book)) books.set(book, ++lastBook)
  return `${books.get(book)} ${who}`
}
