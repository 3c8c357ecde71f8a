import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { KINDS } from '../../../server/database/kinds/kinds.ts'
import { projectFolder } from '../../../server/project-folder.ts'
import { kindsMade } from './made.ts'

const { ofFirstRule, now } = await kindsMade()
const since = new Map(
  [...now].flatMap(([table, columns]) => {
    const added = [...columns].filter(([name]) => !ofFirstRule.get(table)?.has(name))
    return added.length > 0 ? [[table, new Map(added)]] : []
  }),
)
const written = { ofFirstRule: inWords(ofFirstRule), since: inWords(since) }
writeFileSync(join(projectFolder(), 'server/database/kinds/kinds.json'), `${JSON.stringify(written, null, 2)}\n`)
console.log('server/database/kinds/kinds.json tells what every column holds.')

function inWords(kinds: typeof KINDS): Record<string, string> {
  return Object.fromEntries(
    [...kinds].map(([table, columns]) => [table, [...columns].map((column) => column.join(' ')).join(', ')]),
  )
}
