import type { FastifyRequest } from 'fastify'
import { catalogues } from './catalogue.ts'

/** Every language by its own name, for whoever stands before the door; none where there is nothing to choose. */
export function languagesToTap(request: FastifyRequest, language: string) {
  const all = catalogues()
  if (all.length < 2) return []
  const read = new Intl.Locale(language).baseName
  const next = request.method === 'GET' ? request.url : '/'
  return all.map(({ tag, name, dir }) => ({ tag, name, dir, isRead: tag === read, next }))
}

/**
 * The first language that a browser wishes for and that has words: each wish, best first, is shortened from its end until one is found
 * (RFC 9110, 12.5.4; RFC 4647, 3.4). Null where none is.
 */
export function wishedLanguage(header: string | undefined, spoken: readonly string[]): string | null {
  const wishes = (header ?? '')
    .slice(0, LONGEST)
    .split(',')
    .map((one) => {
      const [range = '', ...params] = one.split(';').map((part) => part.trim())
      const quality = params.map((param) => /^q=([01](?:\.\d{0,3})?)$/i.exec(param)?.[1]).find((found) => found)
      return { range: range.toLowerCase(), quality: Number(quality ?? 1) }
    })
    .filter(({ range, quality }) => /^[a-z]{2,8}(-[a-z0-9]{1,8})*$/.test(range) && quality > 0)
    .sort((a, b) => b.quality - a.quality)
  for (const { range } of wishes) {
    const found = shortened(range).find((tag) => spoken.some((one) => one.toLowerCase() === tag))
    if (found) return spoken.find((one) => one.toLowerCase() === found)!
  }
  return null
}

const LONGEST = 500

function shortened(range: string): string[] {
  const parts = range.split('-')
  return parts.map((_, cut) => parts.slice(0, parts.length - cut).join('-'))
}
