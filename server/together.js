import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join, relative } from 'node:path'

/** What a process is started with, by the name of the file that is made of it. */
const ENTRIES = {
  main: 'server/main.ts',
  practice: 'server/practice.ts',
  'reckoning-thread': 'server/reckoner/reckoning-thread.ts',
  'page-thread': 'server/start/page-thread.ts',
  'decoding-thread': 'server/people/voice/decoding/decoding-thread.ts',
  'verify-book': 'server/database/verify-book.ts',
  'copy-book': 'server/database/copy-book.ts',
  'restore-book': 'server/database/restore-book.ts',
  'carry-book': 'server/database/carry-book.ts',
  'merge-book': 'server/database/merge-book.ts',
}

/** Packages that are native, or are read in a way of their own, stay where they lie. */
const LEFT_OUT = [
  'better-sqlite3',
  'argon2',
  'pg',
  'fastify',
  '@fastify/*',
  '@audio/*',
  'opus-decoder',
  'mpg123-decoder',
  '@zxcvbn-ts/*',
]

const SOURCES = ['server', 'domain', 'migrations', 'seed']

/** A server may run for days from the files of an older state, and load some of them late. */
const STATES_KEPT = 3

/**
 * The folder of the program put together: a handful of files in place of a thousand, made anew whenever a source changed. Two
 * that start at once make it each for itself, and one of them is taken.
 *
 * @param {string} project The folder that holds package.json.
 * @returns {string}
 */
export function putTogether(project) {
  const dist = join(project, 'dist')
  const folder = join(dist, stateOf(project))
  if (existsSync(folder)) return folder
  const part = join(dist, `.part-${process.pid}`)
  try {
    mkdirSync(dist, { recursive: true })
    bundle(project, part)
    renameSync(part, folder)
  } catch (error) {
    rmSync(part, { recursive: true, force: true })
    if (!existsSync(folder)) throw error
  }
  for (const old of statesBefore(dist, folder)) rmSync(old, { recursive: true, force: true })
  return folder
}

/**
 * Changes with each source: what it is called, how long it is, when it was written.
 *
 * @param {string} project
 */
export function stateOf(project) {
  const hash = createHash('sha256')
  const files = SOURCES.flatMap((folder) =>
    readdirSync(join(project, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && /\.(ts|json)$/.test(entry.name))
      .map((entry) => join(entry.parentPath, entry.name)),
  )
  for (const file of [...files.sort(), join(project, 'package-lock.json'), import.meta.filename]) {
    const { size, mtimeMs } = statSync(file)
    hash.update(`${relative(project, file)} ${size} ${mtimeMs}\n`)
  }
  return hash.digest('hex').slice(0, 16)
}

/**
 * @param {string} project
 * @param {string} outdir
 */
function bundle(project, outdir) {
  /** @type {typeof import('esbuild')} */
  const esbuild = createRequire(import.meta.url)('esbuild')
  const { outputFiles } = esbuild.buildSync({
    write: false,
    absWorkingDir: project,
    entryPoints: ENTRIES,
    outdir,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node22.12',
    minifyWhitespace: true,
    external: LEFT_OUT,
    logLevel: 'error',
  })
  rmSync(outdir, { recursive: true, force: true })
  mkdirSync(outdir, { recursive: true })
  // On the disk before the folder gets its name: a battery that fails then leaves no half program under it.
  for (const { path, text } of outputFiles) writeFileSync(path, inAscii(text), { flush: true })
}

/**
 * One sign beyond Latin makes Node keep a whole file with two bytes a sign, on each thread: what esbuild leaves in regular expressions and notes
 * is written as its number.
 *
 * @param {string} text
 */
const inAscii = (text) =>
  text.replaceAll(/[^\0-\x7f]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`)

/**
 * @param {string} dist
 * @param {string} current
 */
function statesBefore(dist, current) {
  return readdirSync(dist)
    .map((name) => join(dist, name))
    .filter((path) => path !== current && /^[0-9a-f]{16}$/.test(path.slice(dist.length + 1)))
    .sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs)
    .slice(STATES_KEPT)
}
