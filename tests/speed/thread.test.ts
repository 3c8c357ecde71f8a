import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, expect, it } from 'vitest'
import { Thread } from '../../server/reckoner/thread.ts'

const folder = mkdtempSync(join(tmpdir(), 'commonweir-thread-'))
afterAll(() => rmSync(folder, { recursive: true }))

it('answers the next question by another thread at once where one broke, and loses nothing with the end of the first', async () => {
  writeFileSync(
    join(folder, 'breaking.mjs'),
    `import { parentPort } from 'node:worker_threads'
    parentPort.on('message', ({ id, name, asked }) => {
      if (name === 'break') throw new Error('broken')
      parentPort.postMessage({ id, answer: asked }, [asked.buffer])
    })`,
  )
  const thread = new Thread('./breaking', pathToFileURL(join(folder, 'beside.mjs')).href)
  for (let at = 0; at < 3; at++) {
    await expect(thread.ask('break', null)).rejects.toThrow('broken')
    expect(await thread.ask('give back', at)).toBe(at)
    expect(thread.runs).toBe(true)
  }
  await thread.end()
  expect(thread.runs).toBe(false)
})
