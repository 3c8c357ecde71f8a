import { mkdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { stateOf } from '../../../server/together.js'
import { temporaryFolder } from '../process.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())
const write = (name: string, text: string) => writeFileSync(join(folder.path, name), text)

it('is put together anew when a source was changed, added, taken away or renamed, and only then', () => {
  for (const name of ['server/web', 'domain', 'migrations', 'seed', 'views'])
    mkdirSync(join(folder.path, name), { recursive: true })
  write('package-lock.json', '{}')
  write('server/web/one.ts', 'export const one = 1')
  const states = [stateOf(folder.path)]
  const anew = (change: () => void) => {
    change()
    states.push(stateOf(folder.path))
  }
  anew(() => write('server/web/one.ts', 'export const one = 12'))
  // As long as before, and written at another time.
  anew(() => utimesSync(join(folder.path, 'server/web/one.ts'), 1000, 1000))
  anew(() => write('domain/two.ts', ''))
  anew(() => write('seed/three.json', '{}'))
  anew(() => rmSync(join(folder.path, 'domain/two.ts')))
  anew(() => write('package-lock.json', '{ "lockfileVersion": 3 }'))
  expect(new Set(states).size).toBe(states.length)

  write('views/page.eta', 'read each time')
  expect(stateOf(folder.path)).toBe(states.at(-1))
})
