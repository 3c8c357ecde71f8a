import { readFileSync } from 'node:fs'

/** One change in one file: what stands from a place on is taken out, and something else stands there. */
export interface Change {
  file: string
  at: number
  was: string
  becomes: string
}

/** The text with the change made, where the file is the one that it speaks of. */
export function changed(file: string, text: string, change: Change | null): string {
  if (!change || !file.endsWith(`/${change.file}`)) return text
  return text.slice(0, change.at) + change.becomes + text.slice(change.at + change.was.length)
}

/** Each figure of a template swapped for its neighbour: the next one that is told from the same thing. */
export function swappedFigures(file: string): Change[] {
  const figures = figuresIn(readFileSync(file, 'utf8'))
  return figures.flatMap(({ at, was, root }, place) => {
    const others = [...figures.slice(place + 1), ...figures.slice(0, place)]
    const neighbour = others.find((one) => one.root === root && one.was !== was)
    return neighbour ? [{ file, at, was, becomes: neighbour.was }] : []
  })
}

/** What is shown through `f` (`it.f.volume(row.dueM3)`) or stands alone between marks (`<%= row.turns %>`), not in an address. */
function figuresIn(text: string): { at: number; was: string; root: string }[] {
  const shown =
    /(?:\b\w+\.)*\bf\.\w+\(([A-Za-z_]\w*)((?:\.\w+)*)[^()]*\)|(?<=(.)<%= )([A-Za-z_]\w*)((?:\.\w+)+)(?= %>)/gs
  return [...text.matchAll(shown)]
    .filter((found) => !'="/#-'.includes(found[3] ?? ' ') && !/\.(id|href|t)$/.test(found[5] ?? ''))
    .map((found) => ({ at: found.index, was: found[0], root: rootOf(found[1] ?? found[4]!, found[2] ?? found[5]!) }))
}

/** The thing a figure is told from: `row` of `row.given.low` is not enough, since `row.given` may not be there. */
function rootOf(first: string, path: string): string {
  return [first, ...path.split('.').slice(1, -1)].join('.')
}

/** Each where-clause of a file left out. */
export function droppedClauses(file: string): Change[] {
  const text = readFileSync(file, 'utf8')
  return [...text.matchAll(/\.where\(/g)].map(({ index }) => ({
    file,
    at: index,
    was: text.slice(index, closing(text, index + '.where('.length)),
    becomes: '',
  }))
}

function closing(text: string, from: number): number {
  let open = 1
  let at = from
  for (; open > 0; at++) open += text[at] === '(' ? 1 : text[at] === ')' ? -1 : 0
  return at
}
