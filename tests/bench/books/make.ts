import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { bookOfSize } from './book-of-size.ts'

/** Makes a book to measure on: `npm run bench:book -- --seasons 10`, `-- --households 300`, `-- --to FILE`. */
const { values } = parseArgs({
  options: { seasons: { type: 'string' }, households: { type: 'string' }, to: { type: 'string' } },
})
const size = { seasons: Number(values.seasons ?? 1), households: Number(values.households ?? 28) }
const file = values.to ?? join(tmpdir(), `commonweir-${size.seasons}-seasons-${size.households}-households.sqlite`)
await bookOfSize(file, size, (season, ms) => console.log(`season ${season}: ${(ms / 1000).toFixed(1)} s`))
console.log(file)
