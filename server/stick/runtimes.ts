import { execFileSync } from 'node:child_process'
import { chmodSync, copyFileSync, existsSync, mkdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Platform } from './platforms.ts'

/** Puts the runtime of a machine where it is wanted: from the packages that are here, else fetched once into `store`. */
export function placeRuntime(project: string, store: string, platform: Platform, target: string): void {
  const { runtimePackage, runtimeFile } = platform
  const here = join(project, 'node_modules', runtimePackage, runtimeFile)
  const fetched = join(store, runtimePackage, 'package', runtimeFile)
  if (!existsSync(here) && !existsSync(fetched)) fetchRuntime(project, join(store, runtimePackage), runtimePackage)
  mkdirSync(dirname(target), { recursive: true })
  const file = existsSync(here) ? here : fetched
  copyFileSync(file, target)
  chmodSync(target, 0o755)
  const licence = join(dirname(dirname(file)), 'LICENSE')
  // The package for Windows brings none; the list of what others wrote names it all the same.
  if (existsSync(licence)) copyFileSync(licence, join(dirname(target), `LICENSE of ${basename(target)}.txt`))
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
