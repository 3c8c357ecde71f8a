import { chmodSync, copyFileSync, cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { basename, extname, join } from 'node:path'
import { copyModules } from './modules.ts'
import type { Platform } from './platforms.ts'
import { placeRuntime } from './runtimes.ts'
import { startFiles } from './start-files.ts'

/** What the people at the weir read; the other documents speak to those who build. */
const GUIDES = ['committee', 'attendant', 'treasurer', 'member', 'auditor', 'cautions', 'running', 'third-party']

/**
 * One folder that needs nothing else: the built program with its packages, a runtime, what to click and what to read.
 * Gives its name. The build must be fresh; `store` keeps runtimes of other machines once they were fetched.
 */
export function makeFolder(project: string, target: string, platform: Platform, store: string): string {
  const { version } = JSON.parse(readFileSync(join(project, 'package.json'), 'utf8')) as { version: string }
  const name = `commonweir-${version}-${platform.name}`
  const folder = join(target, name)
  rmSync(folder, { recursive: true, force: true })
  const program = join(folder, 'program')
  mkdirSync(program, { recursive: true })
  for (const part of ['dist', 'views'])
    cpSync(join(project, part), join(program, part), { recursive: true, filter: isRun })
  copyFileSync(join(project, 'package.json'), join(program, 'package.json'))
  copyModules(project, program, platform)
  placeRuntime(project, store, platform, join(folder, 'runtime', basename(platform.runtimeFile)))
  mkdirSync(join(folder, 'guides'))
  for (const guide of GUIDES) copyFileSync(join(project, 'docs', `${guide}.md`), join(folder, 'guides', `${guide}.txt`))
  for (const { name: file, text, runs } of startFiles(platform, version)) {
    writeFileSync(join(folder, file), text)
    if (runs) chmodSync(join(folder, file), 0o755)
  }
  return name
}

function isRun(path: string): boolean {
  return extname(path) !== '.tsbuildinfo' && basename(path) !== 'stick'
}
