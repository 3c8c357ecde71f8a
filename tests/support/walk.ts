import type { Reader } from './valley.ts'
import type { Seen } from './visitor.ts'

/** Addresses that end in a word out of a long list: a crop, a picture to be known by, a clip of the voice. */
const LISTED = /(\/crops\/working\/crop|\/people\/[^/]+\/mark|\/people\/voice\/[^/]+)\/[^/?#]+/
/** Such pages differ a little more than others of one kind: a crop with stages by climate and one without. */
const TIMES_OF_LISTED = 4

/** An address with any such word left out. */
export function withoutListed(path: string): string {
  return path.replace(LISTED, '$1/*')
}

interface Way {
  pagesOfAKind: number
  from?: string
}

export async function walk(visitor: Reader, way: Way): Promise<Seen[]> {
  const seen: Seen[] = []
  for await (const page of pagesOnWalk(visitor, way)) seen.push(page)
  return seen
}

/** Where the doors of a page lead to inside the book, in their order. They are sought in its text: a page need not be taken apart for them. */
export function linksOf(text: string): string[] {
  return [...text.matchAll(/<a\s(?:[^>]*?\s)?href="(\/[^"#]*)/g)].map(([, target]) => target!.replaceAll('&amp;', '&'))
}

/** Opens every door from the first page on; every page of one kind looks alike, so only some of each are opened. */
export async function* pagesOnWalk(visitor: Reader, { pagesOfAKind, from = '/' }: Way): AsyncIterable<Seen> {
  const queue = [from]
  const known = new Set(queue)
  const kinds = new Map<string, number>()
  for (let path = queue.shift(); path !== undefined; path = queue.shift()) {
    const page = await visitor.open(path)
    yield page
    for (const target of linksOf(page.text)) {
      if (known.has(target)) continue
      known.add(target)
      const kind = kindOf(target)
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1)
      if (kinds.get(kind)! <= pagesOfAKind * (LISTED.test(target) ? TIMES_OF_LISTED : 1)) queue.push(target)
    }
  }
}

/** The address without its ids, dates and numbers. */
export function kindOf(path: string): string {
  return withoutListed(path)
    .split('/')
    .map((part) => part.replace(/^[A-Za-z0-9]{16}(?=$|\?)/, '*').replace(/\d{4}-\d{2}-\d{2}[-\w]*/g, '*'))
    .join('/')
    .replace(/(?<![?&](?:as|period))=[^&]*/g, '=*')
    .replace(/\d+/g, '*')
}
