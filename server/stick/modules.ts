import { cpSync, readFileSync } from 'node:fs'
import { basename, extname, join, relative, sep } from 'node:path'
import type { Platform } from './platforms.ts'

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

/** Copies the packages that the running book needs, with native parts for that machine only. */
export function copyModules(project: string, target: string, platform: Platform): void {
  const lock = JSON.parse(readFileSync(join(project, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, { dev?: boolean; optional?: boolean }>
  }
  for (const [path, { dev, optional }] of Object.entries(lock.packages)) {
    if (path === '' || dev || optional || isWithinAnother(path)) continue
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
