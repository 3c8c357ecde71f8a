import { existsSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'

it('names for every demand a test file that is there, or the reason why it does not hold', () => {
  const rows = readFileSync('docs/security.md', 'utf8')
    .split('\n')
    .filter((line) => line.startsWith('| ') && !line.startsWith('| demand') && !line.startsWith('| ---'))
    .map((line) => line.split(' | ').map((cell) => cell.replace(/^\| | \|$/g, '').trim()))
  expect(rows.length).toBeGreaterThan(50)
  for (const [demand, how, proof] of rows) {
    expect(how, demand).toBeTruthy()
    const named = [...proof!.matchAll(/`(tests\/[^`]+)`/g)].map(([, file]) => file!)
    if (named.length === 0) expect(proof, demand).toMatch(/not hold|not apply|no such place|no test/)
    for (const file of named) expect(existsSync(file), file).toBe(true)
  }
})
