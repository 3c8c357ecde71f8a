import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startServer } from '../faults/process.ts'
import { OWN_GROUP, startedBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'
import { Visitor } from '../support/visitor.ts'
import { shown, timedMs } from './measure.ts'

const BOOKS = 200

/** Two hundred small books in one folder, served by the program in a process of its own: somebody signs in to each, one after the other. */
export async function run(): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-folder-'))
  // What Node made of the files is kept there, as a second start of the program would find it.
  process.env.COMMONWEIR_TEST_VALLEY ??= folder
  const book = await serialized((await startedBook(new Date().toISOString())).db)
  const names = Array.from({ length: BOOKS }, (_, at) => `group_${at + 1}`)
  for (const name of names) writeFileSync(join(folder, `${name}.sqlite`), book)
  const server = await startServer('none.sqlite', { more: { BOOKS: folder, COPIES: 'no' } })
  const lines = [`${BOOKS} books of ${shown(book.length / 1e6)} MB; started: ${memoryMb(server.pid)} MB`]
  const [doors, pages, again]: number[][] = [[], [], []]
  for (const [at, name] of names.entries()) {
    const ada = new Visitor(`http://127.0.0.1:${server.port}`)
    const door = await timedMs(() => ada.open(`/${name}/sign-in`))
    doors!.push(door.ms)
    await ada.send(door.result, { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    for (const times of [pages!, again!]) times.push((await timedMs(() => ada.open(`/${name}/`))).ms)
    if ([1, 10, 30, BOOKS].includes(at + 1))
      lines.push(`  after ${at + 1} of them: ${memoryMb(server.pid)} MB of resident memory`)
  }
  await server.stop('SIGTERM')
  rmSync(folder, { recursive: true })
  const spread = (times: number[]) => {
    const sorted = times.toSorted((a, b) => a - b)
    return `middle ${shown(sorted[sorted.length >> 1]!)} ms, slowest but one in twenty ${shown(sorted[Math.floor(0.95 * sorted.length)]!)} ms`
  }
  return [
    ...lines,
    `  the door of a book that is not open: ${spread(doors!)}`,
    `  its first page after signing in: ${spread(pages!)}; once more: ${spread(again!)}`,
  ]
}

function memoryMb(pid: number): number {
  const [, kilobytes] = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))!
  return Math.round(Number(kilobytes) / 1000)
}
