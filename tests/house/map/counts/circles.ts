import { type House, programOf } from '../reading/house.ts'
import { thingOf } from '../reading/places.ts'
import type { Finding } from './finding.ts'
import { programUses } from './uses.ts'

/** Groups of files of which each comes back to itself by imports, those of types too. */
export function circles(house: House): Finding[] {
  const targets = new Map(programOf(house).map(({ file, imports }) => [file, imports.map(({ target }) => target)]))
  const reach = new Map([...targets.keys()].map((file) => [file, reachable(file, targets)]))
  const inCircle = [...targets.keys()].filter((file) => reach.get(file)!.has(file))
  const seen = new Set<string>()
  return inCircle.flatMap((file) => {
    if (seen.has(file)) return []
    const circle = inCircle.filter((other) => reach.get(file)!.has(other) && reach.get(other)!.has(file))
    for (const one of circle) seen.add(one)
    return [{ file, says: circle.join(' - ') }]
  })
}

function reachable(file: string, targets: Map<string, string[]>): Set<string> {
  const found = new Set<string>()
  const waiting = [...(targets.get(file) ?? [])]
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    if (found.has(next)) continue
    found.add(next)
    waiting.push(...(targets.get(next) ?? []))
  }
  return found
}

/** Things of one floor that import each other, however far apart the files. */
export function pairs(house: House): Finding[] {
  const leans = new Map<string, Set<string>>()
  for (const { file, owner } of programUses(house)) {
    if (thingOf(file) === thingOf(owner)) continue
    const way = `${thingOf(file)} ${thingOf(owner)}`
    leans.set(way, (leans.get(way) ?? new Set()).add(`${file} takes ${owner}`))
  }
  return [...leans].flatMap(([way, files]) => {
    const [one, other] = way.split(' ') as [string, string]
    const back = leans.get(`${other} ${one}`)
    if (!back || one > other) return []
    return [{ file: one, says: `${one} <-> ${other}: ${[...files, ...back].join(', ')}` }]
  })
}
