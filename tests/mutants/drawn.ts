import { globSync, readFileSync } from 'node:fs'
import { chanceOf } from '../loop/chance.ts'
import { type Change, droppedClauses, swappedFigures } from './changes.ts'

/** What stands in code with a space on either side, and what a slip of the hand makes of it. */
const SLIPS: readonly (readonly [pattern: RegExp, becomes: string])[] = [
  [/(?<= )===(?= )/g, '!=='],
  [/(?<= )!==(?= )/g, '==='],
  [/(?<= )<(?= )/g, '<='],
  [/(?<= )>(?= )/g, '>='],
  [/(?<= )<=(?= )/g, '<'],
  [/(?<= )>=(?= )/g, '>'],
  [/(?<=[\w)\]!] )\+(?= [\w(])/g, '-'],
  [/(?<=[\w)\]!] )-(?= [\w(])/g, '+'],
  [/(?<=[\w)\]!] )\*(?= [\w(])/g, '/'],
  [/(?<=[\w)\]!] )\/(?= [\w(])/g, '*'],
  [/(?<= )&&(?= )/g, '||'],
  [/(?<= )\|\|(?= )/g, '&&'],
  [/\bMath\.min(?=\()/g, 'Math.max'],
  [/\bMath\.max(?=\()/g, 'Math.min'],
  [/\.some(?=\()/g, '.every'],
  [/\.every(?=\()/g, '.some'],
  [/(?<=if \()(?=\w)/g, '!'],
]

/** So many changes of a floor, drawn evenly over all places where one can be made; the same for the same seed. */
export function drawnChanges(floor: string, count: number, seed: number): Change[] {
  const all = globSync(`${floor}/**/*.{ts,eta}`)
    .sort()
    .flatMap((file) => (file.endsWith('.eta') ? swappedFigures(file) : [...slipsIn(file), ...droppedClauses(file)]))
  const chance = chanceOf(seed)
  return Array.from({ length: count }, () => all.splice(Math.floor(chance.part() * all.length), 1)[0]!)
}

function slipsIn(file: string): Change[] {
  const text = readFileSync(file, 'utf8')
  return SLIPS.flatMap(([pattern, becomes]) =>
    [...text.matchAll(pattern)]
      .filter(({ index }) => isCode(text, index))
      .map(({ index, 0: was }) => ({ file, at: index, was, becomes })),
  )
}

/** Not within a comment, a type, or a text between quotes. */
function isCode(text: string, at: number): boolean {
  const line = text.slice(text.lastIndexOf('\n', at) + 1, at)
  return !/^\s*(\*|\/\/|\/\*|type |export type |import )/.test(line) && (line.match(/['`]/g) ?? []).length % 2 === 0
}
