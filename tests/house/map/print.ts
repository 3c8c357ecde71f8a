import type { Finding } from './counts/finding.ts'
import { MEASURES } from './measures.ts'
import { type House, programOf, readHouse } from './reading/house.ts'
import { floorOf, HALLS, ROOMS, roomOf } from './reading/places.ts'

/** `npm run house` prints sizes and counts; with a room (or `--list`) the places too; with a measure's name that one alone. */
const asked = process.argv.slice(2)
const rooms = asked.filter((word) => [...ROOMS, ...HALLS].includes(word))
const measures = MEASURES.filter(({ name }) => asked.includes(name))
const unknown = asked.filter(
  (word) => word !== '--list' && !rooms.includes(word) && !measures.some(({ name }) => name === word),
)
const listed = asked.length > 0
const SHORT_NAMES: Record<string, string> = { rotation: 'rotat.', abstractions: 'abstr.', database: 'datab.' }

if (unknown.length) {
  console.error(`Not a room nor a measure: ${unknown.join(', ')}.`)
  console.error(`Rooms: ${[...ROOMS, ...HALLS].join(', ')}. Measures: ${MEASURES.map(({ name }) => name).join(', ')}.`)
  process.exitCode = 1
} else printHouse(readHouse(process.cwd()))

function printHouse(house: House) {
  if (!measures.length && !rooms.length) printSizes(house)
  const found = (measures.length ? measures : MEASURES).map((measure) => ({
    ...measure,
    findings: measure.find(house).filter(({ file }) => !rooms.length || rooms.includes(roomOf(file))),
  }))
  if (!rooms.length) printCounts(found)
  if (listed) for (const { name, says, findings } of found) printList(`${name}: ${findings.length} ${says}`, findings)
}

function printSizes(house: House) {
  console.log(row('', ['files', 'lines', 'median', 'p90', 'longest']))
  const files = [...house.modules.values()]
  for (const floor of ['domain', 'server', 'migrations', 'seed', 'tests'])
    console.log(row(floor, sizes(files.filter(({ file }) => floorOf(file) === floor).map(({ lines }) => lines))))
  console.log(row('views', sizes(house.templates.map(({ lines }) => lines.length))))
  const program = programOf(house).filter(({ file }) => /^(domain|server)\//.test(file))
  console.log(row('domain + server', sizes(program.map(({ lines }) => lines))))
  console.log(row('  functions', sizes(program.flatMap(({ functions }) => functions.map(({ lines }) => lines)))))
  console.log()
}

/** How many, all together, median, nine tenths, longest. */
function sizes(lines: number[]): number[] {
  const sorted = lines.toSorted((a, b) => a - b)
  const at = (part: number) => sorted[Math.floor(part * (sorted.length - 1))] ?? 0
  return [sorted.length, sorted.reduce((sum, one) => sum + one, 0), at(0.5), at(0.9), at(1)]
}

function printCounts(found: { name: string; says: string; findings: Finding[] }[]) {
  const columns = [...ROOMS, ...HALLS, '']
  console.log(row('', ['all', ...columns.map((room) => SHORT_NAMES[room] ?? (room || 'other'))]))
  for (const { name, says, findings } of found) {
    const counts = columns.map((room) => findings.filter(({ file }) => roomOf(file) === room).length)
    console.log(`${row(name, [findings.length, ...counts.map((count) => count || '')])}  ${says}`)
  }
}

function printList(heading: string, findings: Finding[]) {
  if (!findings.length) return
  console.log(`\n${heading}`)
  for (const { file, line, says } of findings) console.log(`  ${file}${line ? `:${line}` : ''}  ${says}`)
}

function row(name: string, cells: (string | number)[]): string {
  return name.padEnd(16) + cells.map((cell) => String(cell).padStart(8)).join('')
}
