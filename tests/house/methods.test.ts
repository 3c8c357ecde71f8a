import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'

const root = projectFolder()
const methods = readFileSync(join(root, 'docs/methods.md'), 'utf8')
const named = new Set(methods.match(/\b(?:domain|server|tests)\/[\w/.-]+\.ts\b/g))
const [text, bibliography] = methods.split('\n## Bibliography\n') as [string, string]
const rooms = readdirSync(join(root, 'domain')).filter((room) => existsSync(join(root, 'domain', room, 'index.ts')))

describe('docs/methods.md', () => {
  it('names only modules that exist', () => {
    expect(named.size).toBeGreaterThan(50)
    expect([...named].filter((file) => !existsSync(join(root, file)))).toEqual([])
  })

  it.each(rooms)('names the module of every public function of %s', async (room) => {
    const functions = await publicFunctions(room)
    expect(functions.length).toBeGreaterThan(5)
    expect(functions.filter(({ file }) => !named.has(file))).toEqual([])
  })

  it('cites only sources of its bibliography, and lists none that it does not cite', () => {
    const keys = (part: string, pattern: RegExp) => [...new Set([...part.matchAll(pattern)].map((match) => match[1]!))]
    const listed = keys(bibliography, /^- \*\*\[([A-Z]+\d*)\]\*\*/gm)
    const cited = keys(text, /\[([A-Z]{2,}\d*)[^\]]*\](?!\()/g)
    expect(listed.length).toBeGreaterThan(20)
    expect(cited.toSorted()).toEqual(listed.toSorted())
  })
})

/** The functions that a room's index hands on, each with the module in which it is written. */
async function publicFunctions(room: string): Promise<{ name: string; file: string }[]> {
  const index = readFileSync(join(root, 'domain', room, 'index.ts'), 'utf8')
  const handed = (await import(join(root, 'domain', room, 'index.ts'))) as Record<string, unknown>
  const targets = [...index.matchAll(/from '(\.[^']+)'/g)].map((match) => join('domain', room, match[1]!))
  const found = new Map<string, string>()
  for (const file of targets) {
    const module = (await import(join(root, file))) as Record<string, unknown>
    for (const [name, value] of Object.entries(module)) {
      if (typeof value === 'function' && handed[name] === value) found.set(name, file)
    }
  }
  const functions = Object.entries(handed).filter(([, value]) => typeof value === 'function')
  return functions.map(([name]) => ({ name, file: found.get(name) ?? 'nowhere' }))
}
