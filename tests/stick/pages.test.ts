import { execFileSync, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'
import { PLATFORMS } from '../../server/stick/platforms.ts'
import { startFiles, stickPage } from '../../server/stick/start-files.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'

const folder = mkdtempSync(join(tmpdir(), 'commonweir-start-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const linux = PLATFORMS.find(({ name }) => name === 'linux-x64')!

it('names on the stick each packed folder with the machine that it is for', () => {
  const page = stickPage('1.2.3', PLATFORMS)
  for (const { name, machine } of PLATFORMS) expect(page).toMatch(new RegExp(`${name}\\.zip +${machine.slice(0, 10)}`))
  expect(page).toContain('Unpack it there')
})

it('opens a window of its own where a double-click gave none, and begins the book in it', () => {
  const { bin, unpacked } = unpackedIn('with a space', {
    'bin/x-terminal-emulator': 'echo window; shift; exec "$@"',
    'bin/xdg-open': 'exit 0',
    'runtime/node': 'echo "node $*"',
  })
  const env = { PATH: `${bin}:/usr/bin:/bin`, DISPLAY: ':99' }
  const said = execFileSync(join(unpacked, 'start.sh'), { env, cwd: '/', encoding: 'utf8' })
  expect(said.split('\n')[0]).toBe('window')
  expect(said).toContain('program/server/run.js main')
  const [, room] = /node ((?:--\S+ ?)+) .*server\/run\.js main/.exec(said)!
  expect(room).toBeDefined()
  for (const told of ['package.json', 'docs/running.md']) {
    expect(readFileSync(join(projectFolder(), told), 'utf8'), told).toMatch(
      new RegExp(`node ${room} \\S*server/run\\.js main`),
    )
  }
  expect(readFileSync(join(unpacked, 'READ ME FIRST.txt'), 'utf8')).toContain('commonweir-book')
})

it('says which machine a folder is for where it was unpacked on another, and what the machine said where it runs nothing', () => {
  const { bin, unpacked } = unpackedIn('elsewhere', {
    'bin/uname': 'echo aarch64',
    'runtime/node': 'echo "version GLIBC_2.28 not found" >&2; exit 1',
  })
  const start = (PATH: string) => spawnSync(join(unpacked, 'start.sh'), { env: { PATH }, encoding: 'utf8', input: '' })
  const other = start(`${bin}:/usr/bin:/bin`)
  expect([other.status, other.stdout]).toEqual([1, expect.stringMatching(/kind x64; this one is arm64.*zip/)])
  rmSync(join(bin, 'uname'))
  writeFileSync(join(bin, 'uname'), '#!/bin/sh\necho x86_64\n', { mode: 0o755 })
  const old = start(`${bin}:/usr/bin:/bin`)
  expect([old.status, old.stdout]).toEqual([
    1,
    expect.stringMatching(/too old for it \(version GLIBC_2.28 not found\)/),
  ])
})

it('leaves its last words in the window until they were read, and hands on how it ended', () => {
  const { bin, unpacked } = unpackedIn('window', {
    'bin/uname': 'echo x86_64',
    'runtime/node': '[ "$1" = --version ] || { echo "PORT: 3000 is in use"; exit 7; }',
  })
  const terminal = ['-qec', `"${join(unpacked, 'start.sh')}"`, '/dev/null']
  const env = { PATH: `${bin}:/usr/bin:/bin`, SHELL: '/bin/sh' }
  const { status, stdout } = spawnSync('script', terminal, { env, encoding: 'utf8', input: '\n', timeout: 20_000 })
  expect(stdout).toMatch(/PORT: 3000 is in use\s+Press Enter to close\./)
  expect(status).toBe(7)
})

/** The same words as a program says them that was started with the tool of a stick, by language and key. */
function wordsOfStick(languages: string[], keys: string[], values: object): Record<string, Record<string, string>> {
  const told = `const { loadLocale } = await import('./server/web/figures/locale.ts')
    const [languages, keys, values] = ${JSON.stringify([languages, keys, values])}
    const of = (tag) => Object.fromEntries(keys.map((key) => [key, loadLocale(tag).t(key, values)]))
    console.log(JSON.stringify(Object.fromEntries(languages.map((tag) => [tag, of(tag)]))))`
  const env = { ...process.env, COMMONWEIR_TOOL: './tool.sh' }
  return JSON.parse(
    execFileSync(process.execPath, ['--input-type=module', '-e', told], {
      env,
      cwd: projectFolder(),
      encoding: 'utf8',
    }),
  )
}

it('writes the commands as the stick has them, in every language, and names no npm there', () => {
  const copied = { place: 'copy.sqlite', entries: 3, at: 'today', hash: 'abc' }
  const named = ['file.problem.no-target', 'paper.seal.prove-words', 'paper.copies.restore', 'works.join-how']
  const languages = ['en', 'sw', 'pt']
  const stick = wordsOfStick(languages, ['file.copied', 'file.problem.modules', ...named], copied)
  for (const tag of languages) {
    const [here, there] = [loadLocale(tag).t, (key: string) => stick[tag]![key]]
    expect(here('file.copied', copied)).toContain('npm run restore -- copy.sqlite')
    expect(there('file.copied')).toContain('./tool.sh restore copy.sqlite')
    expect(here('file.problem.modules')).toMatch(/npm ci/)
    expect(there('file.problem.modules')).not.toMatch(/npm/)
    for (const key of named) {
      expect(here(key)).toMatch(/npm run/)
      expect(there(key)).toMatch(/\.\/tool\.sh \w+/)
      expect(there(key)).not.toMatch(/npm| -- /)
    }
  }
})

/** The files of a start with programs of ours under it, in a folder of its own. */
function unpackedIn(name: string, programs: Record<string, string>): { bin: string; unpacked: string } {
  const unpacked = join(folder, name)
  const bin = join(unpacked, 'bin')
  for (const path of [bin, join(unpacked, 'runtime')]) mkdirSync(path, { recursive: true })
  const files = [
    ...Object.entries(programs).map(([file, text]) => ({ name: file, text: `#!/bin/sh\n${text}\n` })),
    ...startFiles(linux, '1.2.3'),
  ]
  for (const { name: file, text } of files) writeFileSync(join(unpacked, file), text, { mode: 0o755 })
  return { bin, unpacked }
}
