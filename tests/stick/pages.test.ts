import { execFileSync } from 'node:child_process'
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { PLATFORMS } from '../../server/stick/platforms.ts'
import { startFiles, stickPage } from '../../server/stick/start-files.ts'

const folder = mkdtempSync(join(tmpdir(), 'commonweir-start-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const linux = PLATFORMS.find(({ name }) => name === 'linux-x64')!

it('names on the stick each packed folder with the machine that it is for', () => {
  const page = stickPage('1.2.3', PLATFORMS)
  for (const { name, machine } of PLATFORMS) expect(page).toMatch(new RegExp(`${name}\\.zip +${machine.slice(0, 10)}`))
  expect(page).toContain('Unpack it there')
})

it('opens a window of its own where a double-click gave none, and begins the book in it', () => {
  const bin = join(folder, 'bin')
  const unpacked = join(folder, 'with a space')
  for (const path of [bin, join(unpacked, 'runtime')]) mkdirSync(path, { recursive: true })
  const programs = {
    'bin/x-terminal-emulator': 'echo window; shift; exec "$@"',
    'bin/xdg-open': 'exit 0',
    'with a space/runtime/node': 'echo "node $*"',
  }
  for (const [name, text] of Object.entries(programs)) {
    writeFileSync(join(folder, name), `#!/bin/sh\n${text}\n`)
    chmodSync(join(folder, name), 0o755)
  }
  for (const { name, text } of startFiles(linux, '1.2.3')) {
    writeFileSync(join(unpacked, name), text)
    chmodSync(join(unpacked, name), 0o755)
  }
  const env = { PATH: `${bin}:/usr/bin:/bin`, DISPLAY: ':99' }
  const said = execFileSync(join(unpacked, 'start.sh'), { env, cwd: '/', encoding: 'utf8' })
  expect(said.split('\n')[0]).toBe('window')
  expect(said).toContain('program/dist/server/main.js')
  expect(readFileSync(join(unpacked, 'READ ME FIRST.txt'), 'utf8')).toContain('commonweir-book')
})
