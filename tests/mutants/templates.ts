import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { changed } from './changes.ts'

/** Templates are read by the engine itself: it is handed the changed one. */
const change = JSON.parse(process.env.MUTANT ?? 'null')
const read = (globalThis as { readAsEver?: typeof fs.readFileSync }).readAsEver ?? fs.readFileSync
Object.assign(globalThis, { readAsEver: read })

fs.readFileSync = ((file: string, ...others: [BufferEncoding]) => {
  const text = read(file, ...others)
  if (typeof file !== 'string' || !file.endsWith('.eta') || typeof text !== 'string') return text
  return changed(file, text, change)
}) as typeof fs.readFileSync
syncBuiltinESMExports()
