import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { readHouse } from '../map/reading/house.ts'
import { functionIndex, withIndex } from './function-index.ts'

const root = projectFolder()
const methods = readFileSync(join(root, 'docs/methods.md'), 'utf8')
const house = readHouse(root, 'domain/')
/** Where an equation stands; the index at the end names every module and explains none. */
const equations = methods.slice(0, methods.indexOf('\n## Every public function\n'))
const named = new Set(equations.match(/\b(?:domain|server|tests)\/[\w/.-]+\.ts\b/g))
const [text, bibliography] = methods.split('\n## Bibliography\n') as [string, string]
/** All but people, where nothing is reckoned: their modules are named where an equation stands. */
const domain = [...house.modules.values()].filter(({ file }) => /^domain\/(?!people\/)/.test(file))
const publicFunctions = domain.flatMap(({ file, functions }) =>
  functions.filter(({ exported }) => exported).map(({ name }) => ({ name, file })),
)

describe('docs/methods.md', () => {
  it('names only modules that exist', () => {
    expect(named.size).toBeGreaterThan(50)
    expect([...named].filter((file) => !existsSync(join(root, file)))).toEqual([])
  })

  it('names the module of every public function of the domain', () => {
    expect(publicFunctions.length).toBeGreaterThan(300)
    expect(publicFunctions.filter(({ file }) => !named.has(file))).toEqual([])
  })

  it('lists every public function of the domain by name, and none that is not there', () => {
    // Where it does not: npm run methods.
    expect(methods.slice(methods.indexOf('\n## Every public function\n') + 1)).toContain(functionIndex(house))
    expect(withIndex(methods, functionIndex(house))).toBe(methods)
  })

  it('cites only sources of its bibliography, and lists none that it does not cite', () => {
    const keys = (part: string, pattern: RegExp) => [...new Set([...part.matchAll(pattern)].map((match) => match[1]!))]
    const listed = keys(bibliography, /^- \*\*\[([A-Z]+\d*)\]\*\*/gm)
    const cited = keys(text, /\[([A-Z]{2,}\d*)[^\]]*\](?!\()/g)
    expect(listed.length).toBeGreaterThan(20)
    expect(cited.toSorted()).toEqual(listed.toSorted())
  })
})
