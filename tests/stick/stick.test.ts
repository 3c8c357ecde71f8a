import { execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'
import { makeFolder } from '../../server/stick/folder.ts'
import { PLATFORMS } from '../../server/stick/platforms.ts'
import { putTogether } from '../../server/together.js'
import { freePort } from '../faults/process.ts'

const project = projectFolder()
const platform = PLATFORMS.find(({ runtimePackage }) => existsSync(join(project, 'node_modules', runtimePackage)))
const onLinux = platform?.name.startsWith('linux') ?? false
const target = mkdtempSync(join(tmpdir(), 'commonweir-stick-'))
let folder = ''

beforeAll(() => {
  if (!platform || !onLinux) return
  const built = putTogether(project)
  folder = join(target, makeFolder({ project, built, target, platform, store: join(target, 'store') }))
})
afterAll(() => rmSync(target, { recursive: true, force: true }))

describe.skipIf(!onLinux)('the folder of a stick, with nothing of the machine but a shell', () => {
  it('starts, answers, is verified and copied, and folds its log when it is ended', async () => {
    const port = String(await freePort())
    const bare = { PATH: '/usr/bin:/bin', PORT: port, HOST: '127.0.0.1' }
    const book = join(target, 'commonweir-book')
    const running = spawn(join(folder, 'start.sh'), { env: bare, cwd: '/' })
    let said = ''
    for (const stream of [running.stdout, running.stderr]) stream.on('data', (some) => (said += some))
    while (!said.includes('asks for this code')) {
      if (running.exitCode !== null) expect.fail(said)
      await new Promise((done) => setTimeout(done, 50))
    }
    expect((await fetch(`http://127.0.0.1:${port}/`)).status).toBe(200)
    const tool = (...words: string[]) =>
      execFileSync(join(folder, 'tool.sh'), words, { env: bare, cwd: '/', encoding: 'utf8' })
    const copied = tool('backup', join(target, 'copy.sqlite'))
    expect(copied).toContain('./tool.sh restore')
    expect(copied).toContain('copy.sqlite')
    running.kill('SIGTERM')
    await once(running, 'exit')
    expect(readdirSync(book)).toContain('book.sqlite')
    expect(readdirSync(book).filter((file) => /-(wal|shm)$/.test(file))).toEqual([])
  })

  it('takes along no package that only makes or tests the book, and native parts for one machine only', () => {
    const modules = readdirSync(join(folder, 'program/node_modules'))
    expect(modules).toContain('fastify')
    expect(
      modules.filter((name) => ['vitest', 'typescript', 'tsx', 'playwright-core', 'fflate', 'esbuild'].includes(name)),
    ).toEqual([])
    const native = readdirSync(join(folder, 'program/node_modules'), { recursive: true, encoding: 'utf8' }).filter(
      (file) => file.endsWith('.node'),
    )
    expect(native.length).toBeGreaterThan(1)
    expect(native.filter((file) => !file.includes(platform!.prebuilt))).toEqual([])
  })

  it('says on its first page what the machine calls each thing', () => {
    const page = readFileSync(join(folder, 'READ ME FIRST.txt'), 'utf8')
    for (const name of ['start.sh', 'tool.sh', 'guides']) {
      expect(page).toContain(name)
      expect(existsSync(join(folder, name))).toBe(true)
    }
    const auditor = readFileSync(join(folder, 'guides/auditor.txt'), 'utf8')
    expect(auditor).toContain('./tool.sh verify --last')
    expect(auditor).not.toContain('npm')
    expect(readFileSync(join(folder, 'runtime/LICENSE of node.txt'), 'utf8')).toContain('Permission is hereby granted')
  })
})

it('is put together in signs of one byte, which no thread needs to keep as two', () => {
  const built = putTogether(project)
  const files = readdirSync(built)
  expect(files).toContain('main.js')
  expect(files.filter((file) => /[^\0-\x7f]/.test(readFileSync(join(built, file), 'utf8')))).toEqual([])
})
