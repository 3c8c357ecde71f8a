import { existsSync, mkdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { holdAlone } from '../../../server/database/file/one-program.ts'
import { temporaryFolder } from '../process.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())

it.each(['linux', 'win32'])(
  'a book that is given back on %s is free again, and no file of the lock stays',
  (platform) => {
    const place = join(folder.path, platform)
    const giveBack = holdAlone(place, platform)
    expect(() => holdAlone(place, platform)).toThrow('two-programs')
    giveBack()
    expect(existsSync(`${place}-held`)).toBe(false)
    holdAlone(place, platform)()
  },
)

it('does not end with a fault on Windows where the file of the lock cannot be removed', () => {
  const place = join(folder.path, 'taken')
  const giveBack = holdAlone(place, 'win32')
  // A folder cannot be removed like a file, as on Windows one cannot that another program has open.
  rmSync(`${place}-held`)
  mkdirSync(`${place}-held`)
  expect(giveBack).not.toThrow()
})
