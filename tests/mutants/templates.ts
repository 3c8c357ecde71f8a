import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { relative } from 'node:path'
import { Eta } from 'eta'
import { expect } from 'vitest'
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

/**
 * What each test shows is noted. The engine keeps its templates from one test file to the next and reads each for the first of them
 * only: so it is noted where it asks for what it keeps.
 */
const noted = process.env.TEMPLATES_READ
if (noted) {
  const kept = Object.getPrototypeOf(new Eta().templatesSync)
  const ask = kept.askAsEver ?? kept.get
  kept.askAsEver = ask
  const shown = new Set<string>()
  kept.get = function (view: string) {
    const line = `${relative(process.cwd(), view)} ${relative(process.cwd(), expect.getState().testPath!)}\n`
    if (!shown.has(line)) fs.appendFileSync(noted, line)
    shown.add(line)
    return ask.call(this, view)
  }
}
