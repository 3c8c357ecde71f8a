import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { changed } from './changes.ts'

/** What is read as a file is changed too: a template by the engine, code by whoever looks through it. */
const change = JSON.parse(process.env.MUTANT ?? 'null')
const read = (globalThis as { readAsEver?: typeof fs.readFileSync }).readAsEver ?? fs.readFileSync
Object.assign(globalThis, { readAsEver: read })

fs.readFileSync = ((file: string, ...others: [BufferEncoding]) => {
  const text = read(file, ...others)
  if (typeof file !== 'string' || !/\.(eta|ts)$/.test(file) || typeof text !== 'string') return text
  return changed(file, text, change)
}) as typeof fs.readFileSync
syncBuiltinESMExports()
