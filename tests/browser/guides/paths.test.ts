import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { readerOfValley } from '../../support/valley.ts'
import { describeInBrowser } from '../chromium.ts'
import { valleyInBrowser } from '../windows.ts'
import { type Finder, finderFor, walkFrom } from './walking.ts'

const PATIENCE_MS = 600_000

/** Each guide, and somebody of the valley whose guide it is. */
const READERS = { committee: 'amaru', attendant: 'dovi', treasurer: 'fanta', member: 'hila', auditor: 'goro' }
const PATHS = Object.entries(READERS).flatMap(([guide, who]) =>
  pathsIn(readFileSync(join(projectFolder(), 'docs', `${guide}.md`), 'utf8')).map((path) => ({ guide, who, path })),
)

describeInBrowser('a path of a guide', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  const finders = new Map<string, Finder>()
  beforeAll(async () => {
    valley = await valleyInBrowser()
    for (const who of Object.values(READERS)) finders.set(who, finderFor(await readerOfValley(who)))
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it('is read from every guide', () => {
    expect(pathsIn('*A*, then *Turns →\nAsk for water → Send* or **B**')).toEqual([['Turns', 'Ask for water', 'Send']])
    expect(new Set(PATHS.map(({ guide }) => guide)).size).toBe(Object.keys(READERS).length)
    expect(PATHS.length).toBeGreaterThan(30)
  })

  it.each(PATHS.map((one) => ({ ...one, words: one.path.join(' → ') })))(
    'is walked as the $guide: $words',
    async ({ who, path }) => {
      let trouble = new Error(`no door “${path[0]}” for ${who}`)
      for await (const begins of finders.get(who)!.pagesWith(path[0]!)) {
        const phone = await valley.openPhone(who, begins)
        const missing = await walkFrom(phone, path)
        if (missing === null) return
        trouble = new Error(missing)
      }
      throw trouble
    },
  )
})

/** What stands in italics with arrows between, as the names to tap one after the other. */
function pathsIn(markdown: string): string[][] {
  const italics = markdown.matchAll(/(?<![*\w])\*(?!\*)([^*]+)\*(?!\*)/g)
  return [...italics].flatMap(([, words]) => {
    const names = words!.split('→').map((name) => name.replace(/\s+/g, ' ').trim())
    return names.length > 1 ? [names] : []
  })
}
