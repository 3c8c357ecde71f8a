import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'
import { MESSAGES } from '../support/messages.ts'

const root = projectFolder()
const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], { cwd: root })
  .toString()
  .split('\n')
  .filter(Boolean)
const read = (file: string) => readFileSync(join(root, file), 'utf8')
const inFolders = (folders: RegExp, ending: string) =>
  files.filter((file) => folders.test(file) && file.endsWith(ending))

const TOP_FOLDERS = ['domain', 'server', 'views', 'migrations', 'seed', 'tests', 'docs']
const TOP_FILES =
  /^(README\.md|DEVELOPERS\.md|package(-lock)?\.json|tsconfig(\.\w+)?\.json|biome\.json|[\w.]+\.config\.ts|\..+)$/

describe('the house', () => {
  it('has no other entry at the top than the design names', () => {
    const strays = [...new Set(files.map((file) => file.split('/')[0]!))].filter(
      (entry) => !TOP_FOLDERS.includes(entry) && !TOP_FILES.test(entry),
    )
    expect(strays).toEqual([])
  })

  it('lets imports point inward only', () => {
    const allowed: Record<string, RegExp> = {
      domain: /^(\.|d3-)/,
      migrations: /^(\.\/|kysely(\/migration)?$)/,
    }
    const wrong = inFolders(/^(domain|migrations)\//, '.ts').flatMap((file) =>
      importsOf(file)
        .filter((target) => !allowed[file.split('/')[0]!]!.test(target) || leaves(file, target))
        .map((target) => `${file} imports ${target}`),
    )
    const server = inFolders(/^server\//, '.ts').flatMap((file) =>
      importsOf(file)
        .filter((target) => /\/(tests|views)\//.test(target))
        .map((target) => `${file} imports ${target}`),
    )
    expect([...wrong, ...server]).toEqual([])
  })

  it('keeps a store away from routes, pages and the web', () => {
    const wrong = inFolders(/^server\/.*store\.ts$/, '.ts').flatMap((file) =>
      importsOf(file)
        .filter((target) => /routes|fastify/.test(target))
        .map((target) => `${file} imports ${target}`),
    )
    expect(wrong).toEqual([])
  })

  it('keeps the domain free of clock, chance and surroundings', () => {
    const wrong = inFolders(/^domain\//, '.ts').filter((file) =>
      /\bDate\.now\(|new Date\(\)|Math\.random\(|process\.|console\./.test(read(file)),
    )
    expect(wrong).toEqual([])
  })

  it('numbers its migrations without gap or twin', () => {
    const numbers = inFolders(/^migrations\/\d/, '.ts').map((file) => Number(/\d+/.exec(file)![0]))
    expect(numbers.length).toBeGreaterThan(20)
    expect(numbers.toSorted((a, b) => a - b)).toEqual(numbers.map((_, at) => at + 1))
  })

  it('shows no script and no handler in any page', () => {
    const wrong = inFolders(/^views\//, '.eta').filter((file) => /<script|\son\w+=|javascript:/i.test(read(file)))
    expect(wrong).toEqual([])
  })
})

describe('the message catalogue', () => {
  const keys = [...MESSAGES.keys()]
  const permissions = read('domain/people/permissions.ts')
  const sources = [...inFolders(/^views\//, '.eta'), ...inFolders(/^(server|domain|seed)\//, '.ts')]
    .map(read)
    .join('\n')

  // A room of the catalogue may be called as a table is, or as a query calls one for short: `closing.words` is then a column.
  const tables = inFolders(/^server\/database\/tables\//, '.ts')
    .map(read)
    .join('\n')
  const isColumn = (key: string) => {
    const [table, column, ...more] = key.split('.')
    const named = new RegExp(`^  ${table}: \\{`, 'm').test(tables) || new RegExp(`'\\w+ as ${table}'`).test(sources)
    return named && more.length === 0 && new RegExp(`[\\s{]${column}: `).test(tables)
  }

  it('has every key that is asked for by name, also where a permission is called the same', () => {
    const asked = [...sources.matchAll(/\bt\('([a-z-]+\.[a-zA-Z0-9.-]+)'[,)]/g)].map((match) => match[1]!)
    expect(asked.length).toBeGreaterThan(1000)
    expect([...new Set(asked.filter((key) => !keys.includes(key)))]).toEqual([])
  })

  it('has every key that a page or a route writes out', () => {
    const rooms = [...new Set(keys.map((key) => key.split('.')[0]))].join('|')
    const used = sources.matchAll(new RegExp(`'((?:${rooms})\\.[a-zA-Z0-9.-]+)'`, 'g'))
    const missing = [...used]
      .map((match) => match[1]!)
      .filter((key) => !keys.includes(key) && !hasFields(key, keys) && !permissions.includes(`'${key}': `))
      .filter((key) => !isColumn(key))
    expect([...new Set(missing)]).toEqual([])
  })

  it('lays a slip in two columns only where it is a door: a form within one lies under what is beside it on a phone', () => {
    const slips = inFolders(/^views\//, '.eta').flatMap((file) =>
      [...read(file).matchAll(/<(\w+)[^<>]*class="slip[ "]/g)].map(([, tag]) => `${file} ${tag}`),
    )
    expect(slips.length).toBeGreaterThan(0)
    expect(slips.filter((one) => !one.endsWith(' a'))).toEqual([])
  })
})

/** `'people.group'` names a form, and `'people.plot.soil.'` the head of several keys. */
function hasFields(key: string, keys: readonly string[]): boolean {
  return keys.some((known) => known.startsWith(key.endsWith('.') || key.endsWith('-') ? key : `${key}.`))
}

function importsOf(file: string): string[] {
  return [...read(file).matchAll(/(?<!')(?:from|import)\s*\(?\s*'([^']+)'/g)].map((match) => match[1]!)
}

/** True when a relative import climbs out of its own top folder. */
function leaves(file: string, target: string): boolean {
  return target.startsWith('.') && !join(file, '..', target).startsWith(`${file.split('/')[0]}/`)
}
