import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { relative } from 'node:path'
import { expect } from 'vitest'
import { changed } from './changes.ts'

/** Templates are read by the engine itself: it is handed the changed one, and what it reads is noted with the test that it is for. */
const change = JSON.parse(process.env.MUTANT ?? 'null')
const noted = process.env.TEMPLATES_READ
const read = (globalThis as { readAsEver?: typeof fs.readFileSync }).readAsEver ?? fs.readFileSync
Object.assign(globalThis, { readAsEver: read })

fs.readFileSync = ((file: string, ...others: [BufferEncoding]) => {
  const text = read(file, ...others)
  if (typeof file !== 'string' || !file.endsWith('.eta') || typeof text !== 'string') return text
  if (noted)
    fs.appendFileSync(
      noted,
      `${relative(process.cwd(), file)} ${relative(process.cwd(), expect.getState().testPath!)}\n`,
    )
  return changed(file, text, change)
}) as typeof fs.readFileSync
syncBuiltinESMExports()
