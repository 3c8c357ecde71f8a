import { execFileSync } from 'node:child_process'
import { chmodSync, copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { basename, dirname, extname, join, relative, sep } from 'node:path'
import { PLATFORMS, type Platform } from './platforms.ts'
import { startFiles, TOLD_BY_NPM, toolOf } from './start-files.ts'

/** What the people at the weir read; the other documents speak to those who build. */
const GUIDES = ['committee', 'attendant', 'treasurer', 'member', 'auditor', 'cautions', 'running', 'third-party']
/** Written for people who build with a package, not for the machine that runs it; licences stay. */
const LEFT_OUT = new Set([
  '.map',
  '.md',
  '.markdown',
  '.ts',
  '.mts',
  '.cts',
  '.c',
  '.cc',
  '.cpp',
  '.h',
  '.gyp',
  '.gypi',
])
const LEFT_OUT_FOLDERS = new Set(['better-sqlite3/deps', 'better-sqlite3/src', 'argon2/argon2'])

/** What is done with it is done before. */
const PUTS_TOGETHER = 'node_modules/esbuild'

interface Making {
  project: string
  /** The folder of the program put together. */
  built: string
  target: string
  platform: Platform
  /** Keeps the runtimes of other machines once they were fetched. */
  store: string
}

/**
 * One folder that needs nothing else: the built program with its packages, a runtime, what to click and what to read.
 * Gives its name.
 */
export function makeFolder({ project, built, target, platform, store }: Making): string {
  const { version } = JSON.parse(readFileSync(join(project, 'package.json'), 'utf8')) as { version: string }
  const name = `commonweir-${version}-${platform.name}`
  const folder = join(target, name)
  rmSync(folder, { recursive: true, force: true })
  const program = join(folder, 'program')
  mkdirSync(program, { recursive: true })
  cpSync(built, join(program, 'dist'), { recursive: true })
  cpSync(join(project, 'server', 'run.js'), join(program, 'server', 'run.js'))
  cpSync(join(project, 'views'), join(program, 'views'), { recursive: true })
  cpSync(join(project, 'seed', 'voice'), join(program, 'seed', 'voice'), { recursive: true })
  copyFileSync(join(project, 'package.json'), join(program, 'package.json'))
  copyModules(project, program, platform)
  placeRuntime(project, store, platform, join(folder, 'runtime', basename(platform.runtimeFile)))
  mkdirSync(join(folder, 'guides'))
  for (const guide of GUIDES) {
    const text = readFileSync(join(project, 'docs', `${guide}.md`), 'utf8')
    writeFileSync(join(folder, 'guides', `${guide}.txt`), withoutNpm(text, platform))
  }
  for (const { name: file, text, runs } of startFiles(platform, version)) {
    writeFileSync(join(folder, file), text)
    if (runs) chmodSync(join(folder, file), 0o755)
  }
  return name
}

/** A guide of the stick names the stick's own tool. */
function withoutNpm(text: string, platform: Platform): string {
  return text.replace(TOLD_BY_NPM, `${toolOf(platform)} $1`)
}

/** Copies the packages that the running book needs, with native parts for that machine only. */
function copyModules(project: string, target: string, platform: Platform): void {
  const lock = JSON.parse(readFileSync(join(project, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, { dev?: boolean; optional?: boolean }>
  }
  for (const [path, { dev, optional }] of Object.entries(lock.packages)) {
    if (path === '' || path === PUTS_TOGETHER || dev || optional || isWithinAnother(path)) continue
    cpSync(join(project, path), join(target, path), {
      recursive: true,
      filter: (file) => isNeeded(relative(join(project, 'node_modules'), file).split(sep).join('/'), platform),
    })
  }
}

/** A package inside another comes along with it. */
function isWithinAnother(path: string): boolean {
  return path.lastIndexOf('node_modules/') > 0
}

function isNeeded(path: string, { prebuilt }: Platform): boolean {
  if (LEFT_OUT.has(extname(path)) || LEFT_OUT_FOLDERS.has(path)) return false
  const [, native] = path.split('/prebuilds/')
  return native === undefined || native.split('/')[0] === prebuilt || basename(native) === `${prebuilt}.node`
}

/** Puts the runtime of a machine where it is wanted: from the packages that are here, else fetched once into `store`. */
function placeRuntime(project: string, store: string, platform: Platform, target: string): void {
  const { runtimePackage, runtimeFile } = platform
  const here = join(project, 'node_modules', runtimePackage, runtimeFile)
  const fetched = join(store, runtimePackage, 'package', runtimeFile)
  if (!existsSync(here) && !existsSync(fetched)) fetchRuntime(project, join(store, runtimePackage), runtimePackage)
  mkdirSync(dirname(target), { recursive: true })
  const file = existsSync(here) ? here : fetched
  copyFileSync(file, target)
  chmodSync(target, 0o755)
  copyFileSync(licenceBeside(project, file), join(dirname(target), `LICENSE of ${basename(target)}.txt`))
}

/** The package for Windows brings none: the licence is the same in all packages of the runtime, and one of them is here. */
function licenceBeside(project: string, file: string): string {
  const packages = PLATFORMS.map(({ runtimePackage }) => join(project, 'node_modules', runtimePackage))
  const found = [dirname(dirname(file)), ...packages]
    .map((folder) => join(folder, 'LICENSE'))
    .find((one) => existsSync(one))
  if (!found) throw new Error('no licence of the runtime is in the packages')
  return found
}

/** From the registry, and only if it is what the lock file names. */
function fetchRuntime(project: string, folder: string, name: string): void {
  const lock = JSON.parse(readFileSync(join(project, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, { version: string; integrity: string }>
  }
  const { version, integrity } = lock.packages[`node_modules/${name}`]!
  mkdirSync(folder, { recursive: true })
  const said = execFileSync('npm', ['pack', `${name}@${version}`, '--json', '--pack-destination', folder], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'ignore'],
    shell: process.platform === 'win32',
  })
  const [packed] = Object.values(JSON.parse(said) as Record<string, { filename: string; integrity: string }>)
  if (packed!.integrity !== integrity) throw new Error(`${name} ${version} is not what package-lock.json names.`)
  execFileSync('tar', ['-xzf', basename(packed!.filename)], { cwd: folder })
}
