import { globSync, readFileSync } from 'node:fs'

/**
 * The tests that should see a change in a file: those of its thing (`domain/rotation/day/given.ts` is covered by
 * `tests/rotation/day/`), those that take a file of that thing by its path, for the domain those against published
 * figures, and for a view those that show it; where there are none, those of the room.
 */
export function testsOf(file: string): string[] {
  const [floor, room, ...rest] = file.split('/')
  const thing = rest[0]?.replace(/\.\w+$/, '') ?? ''
  const takes = new RegExp(`from '[./]+/${floor}/${room}/${thing}[./]`)
  const found = [
    ...globSync([`tests/${room}/${thing}/**/*.test.ts`, `tests/${room}/${thing}*.test.ts`]),
    ...(floor === 'domain' ? globSync(`tests/published/${room}-*.test.ts`) : []),
    ...globSync('tests/**/*.test.ts').filter((test) => floor !== 'views' && takes.test(readFileSync(test, 'utf8'))),
  ]
  const tests = found.length ? found : globSync([`tests/${room}/**/*.test.ts`, `tests/${room}*/**/*.test.ts`])
  return [...new Set(tests)].sort()
}
