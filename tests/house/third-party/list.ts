import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { projectFolder } from '../../../server/project-folder.ts'
import { LICENCE_IN_TEXT, PURPOSES } from './purposes.ts'

export interface Package {
  name: string
  version: string
  licence: string
  /** Named by package.json itself. */
  named: boolean
  /** Runs in the book of a group; the others only make and test it. */
  runs: boolean
  neededBy: string[]
}

interface Locked {
  version: string
  license?: string
  dev?: boolean
  dependencies?: Record<string, string>
}

/** Every package of the lock file, a line a name and version. */
export function packagesOfLock(): Package[] {
  const lock = readJson('package-lock.json') as { packages: Record<string, Locked> }
  const own = readJson('package.json') as Record<string, Record<string, string>>
  const named = new Set(
    ['dependencies', 'devDependencies', 'optionalDependencies'].flatMap((kind) => Object.keys(own[kind] ?? {})),
  )
  const locked = Object.entries(lock.packages).filter(([path]) => path !== '')
  const byKey = new Map<string, Package>()
  for (const [path, { version, license, dev = false }] of locked) {
    const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length)
    const known = byKey.get(`${name} ${version}`)
    const licence = license ?? LICENCE_IN_TEXT[name] ?? 'none named'
    const needing = locked
      .filter(([, other]) => name in (other.dependencies ?? {}))
      .map(([by]) => by.split('node_modules/').at(-1)!)
    byKey.set(`${name} ${version}`, {
      name,
      version,
      licence,
      named: named.has(name),
      runs: !dev || known?.runs === true,
      neededBy: [...new Set(needing)].sort(),
    })
  }
  return [...byKey.values()].sort((a, b) => (a.name < b.name ? -1 : 1))
}

/** docs/third-party.md as it should stand. */
export function thirdPartyPage(packages: readonly Package[] = packagesOfLock()): string {
  const named = packages.filter((one) => one.named)
  const others = packages.filter((one) => !one.named)
  const rows = (some: readonly Package[], why: (one: Package) => string) => [
    '| package | version | licence | what for |',
    '| --- | --- | --- | --- |',
    ...some.map((one) => `| ${one.name} | ${one.version} | ${one.licence} | ${why(one)} |`),
  ]
  return [
    '# What others wrote',
    '',
    'Made from the lock file by `npm run third-party`; a test fails where it differs, where a licence is outside the short',
    'list of `tests/house/third-party/purposes.ts`, or where nothing uses a package.',
    '',
    '## In the book of a group',
    '',
    ...rows(
      named.filter(({ runs }) => runs),
      ({ name }) => PURPOSES[name] ?? '',
    ),
    '',
    'They bring along:',
    '',
    ...rows(
      others.filter(({ runs }) => runs),
      neededBy,
    ),
    '',
    '## Only to make and test it',
    '',
    ...rows(
      named.filter(({ runs }) => !runs),
      ({ name }) => PURPOSES[name] ?? '',
    ),
    '',
    'They bring along:',
    '',
    ...rows(
      others.filter(({ runs }) => !runs),
      neededBy,
    ),
    '',
  ].join('\n')
}

function neededBy({ neededBy: by }: Package): string {
  const shown = by.slice(0, 3).join(', ')
  return `for ${by.length > 3 ? `${shown} and ${by.length - 3} more` : shown}`
}

function readJson(name: string): unknown {
  return JSON.parse(readFileSync(join(projectFolder(), name), 'utf8'))
}
