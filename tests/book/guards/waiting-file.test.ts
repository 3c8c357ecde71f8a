import { expect, it } from 'vitest'
import { fileKept, keepFile } from '../../../server/book/joining/waiting-file.ts'
import type { Database } from '../../../server/database/connection.ts'

const at = (hour: string) => new Date(`2026-06-04T${hour}Z`)

it('a file that waits to be joined is kept for its hours, one of each officer, the last that they brought', () => {
  const db = {} as Database
  const brought = (personId: string, bytes: string) =>
    keepFile({ db, at: at('05:00:00') }, { bytes: Buffer.from(bytes), personId: personId as never })
  const [adas, bens, again] = [brought('ada', 'one'), brought('ben', 'two'), brought('ada', 'three')]
  const read = (key: string, hour: string) => fileKept({ db, at: at(hour) }, key)?.bytes.toString()
  expect([adas, bens, again].map((key) => read(key, '05:00:00'))).toEqual([undefined, 'two', 'three'])
  expect([read(bens, '16:59:59'), read(bens, '17:00:00')]).toEqual(['two', undefined])
})
