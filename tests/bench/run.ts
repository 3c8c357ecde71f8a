import { readdirSync } from 'node:fs'

/** Runs every `*.bench.ts` beside this file, or those named on the command line, and prints what they measured. */
const asked = process.argv.slice(2)
const files = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.bench.ts'))
  .filter((file) => asked.length === 0 || asked.some((name) => file.startsWith(name)))
  .sort()

for (const file of files) {
  const { run } = (await import(new URL(file, import.meta.url).href)) as { run(): Promise<string[]> }
  console.log(`\n${file}`)
  for (const line of await run()) console.log(`  ${line}`)
}
