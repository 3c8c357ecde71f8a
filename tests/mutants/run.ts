import { execFileSync } from 'node:child_process'
import { globSync, statSync } from 'node:fs'
import { droppedClauses, swappedFigures } from './changes.ts'
import { mutateCode } from './code.ts'
import { drawnChanges } from './drawn.ts'
import { tryChanges } from './one-by-one.ts'

/**
 * Plants single changes and says how many the tests see (DEVELOPERS.md). Asked for by folder or file (`domain/fees`,
 * `server/rotation/swap`, `views/crops`); without one, what differs from origin/main. `wheres server/fees` leaves out
 * each where-clause. `--every 5` tries every fifth of the changes in views and where-clauses. `drawn server 40 1` tries forty
 * changes drawn over the whole of a floor by a seed: the kill rate of the whole, within what so many can tell.
 */
process.env.PLANTED_CHANGES = 'yes'
const words = process.argv.slice(2)
const every = words.includes('--every') ? Number(words.splice(words.indexOf('--every'), 2)[1]) : 1
const wheres = words[0] === 'wheres' && words.shift() !== undefined
const files =
  words[0] === 'drawn'
    ? []
    : (words.length ? words.flatMap(filesOf) : differing()).filter((file) => statSync(file).isFile())
const code = files.filter((file) => /^(domain|server)\/.*\.ts$/.test(file))

if (words[0] === 'drawn') await tryChanges(drawnChanges(words[1]!, Number(words[2]), Number(words[3])), 1)
else if (wheres) await tryChanges(code.flatMap(droppedClauses), every)
else {
  await tryChanges(files.filter((file) => /^views\/.*\.eta$/.test(file)).flatMap(swappedFigures), every)
  if (code.length) await mutateCode(code)
}

function filesOf(asked: string): string[] {
  const found = globSync([asked, `${asked}/**/*.{ts,eta}`]).sort()
  if (!found.length) throw new Error(`There is no ${asked}: name a folder or file of domain, server or views.`)
  return found
}

function differing(): string[] {
  return execFileSync('git', ['diff', '--name-only', '--diff-filter=d', 'origin/main']).toString().trim().split('\n')
}
