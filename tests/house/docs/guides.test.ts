import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { beforeAll, describe, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { openBook } from '../../support/book.ts'
import { MESSAGES } from '../../support/messages.ts'

/** What the people at the weir read; the other documents speak of the book to those who build it. */
const GUIDES = ['committee', 'attendant', 'treasurer', 'member', 'auditor']
/** A sheet of A4 in small type. */
const MOST_WORDS_ON_A_PAGE = 900

const guide = (name: string) => readFileSync(join(projectFolder(), 'docs', `${name}.md`), 'utf8')
const screen = new Set<string>()
let app: FastifyInstance

beforeAll(async () => {
  for (const text of MESSAGES.values()) screen.add(withoutFigures(text))
  app = await (await openBook()).ready()
})

describe.each(GUIDES)('docs/%s.md', (name) => {
  it('names pages and doors as they stand on the screen', () => {
    const names = namesIn(guide(name))
    expect(names.length).toBeGreaterThan(15)
    expect(names.filter((one) => !screen.has(one))).toEqual([])
  })

  it('writes only addresses that the book has', () => {
    expect(addressesIn(guide(name)).filter((url) => !app.hasRoute({ method: 'GET', url }))).toEqual([])
  })

  it('stays on one page', () => {
    expect(guide(name).split(/\s+/).length).toBeLessThan(MOST_WORDS_ON_A_PAGE)
  })
})

describe('the reading of the guides', () => {
  it('finds names and addresses, and sees one that is not there', () => {
    expect(namesIn('Open *Turns →\nNext week* and **not this**, then *No such page*.')).toEqual([
      'Turns',
      'Next week',
      'No such page',
    ])
    expect(screen.has('No such page')).toBe(false)
    expect(addressesIn('at `/log/days/:on`, not `npm run verify`')).toEqual(['/log/days/:on'])
    expect(app.hasRoute({ method: 'GET', url: '/no-such-page' })).toBe(false)
  })

  it('cuts what is filled in, plurals inside plurals too', () => {
    expect(withoutFigures('Post {count, plural, one {this one} other {these #}}: {total}')).toBe('Post')
  })
})

/** What stands in italics; an arrow leads from one page to the next. */
function namesIn(markdown: string): string[] {
  const italics = markdown.matchAll(/(?<![*\w])\*(?!\*)([^*]+)\*(?!\*)/g)
  return [...italics].flatMap((match) => match[1]!.split('→')).map(withoutFigures)
}

function addressesIn(markdown: string): string[] {
  return [...markdown.matchAll(/`(\/[^`\s]*)`/g)].map((match) => match[1]!)
}

/** A message as it reads without the parts that are filled in, and without what ends it. */
function withoutFigures(text: string): string {
  let cut = text
  for (let before = ''; before !== cut; ) {
    before = cut
    cut = cut.replace(/\{[^{}]*\}/g, '')
  }
  return cut
    .replace(/\s+/g, ' ')
    .replace(/ ([,.:])/g, '$1')
    .trim()
    .replace(/[\s,.:…]+$/, '')
}
