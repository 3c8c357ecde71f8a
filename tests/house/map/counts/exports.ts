import { type House, programOf } from '../reading/house.ts'
import type { Finding } from './finding.ts'
import { usesOf } from './uses.ts'

/** Each name that a file of the program gives away, with the files that take it. */
function exportsOf(house: House) {
  const takers = new Map<string, string[]>()
  for (const { file, owner, name } of usesOf(house)) {
    if (file !== owner) takers.set(`${owner} ${name}`, [...(takers.get(`${owner} ${name}`) ?? []), file])
  }
  return programOf(house)
    .filter(({ file }) => !/^migrations\//.test(file))
    .flatMap(({ file, exports }) =>
      exports
        .filter(({ from }) => !from)
        .map(({ name, line }) => ({ file, line, name, takers: takers.get(`${file} ${name}`) ?? [] })),
    )
}

export function unusedExports(house: House): Finding[] {
  return exportsOf(house)
    .filter(({ takers }) => takers.length === 0)
    .map(({ file, line, name }) => ({ file, line, says: name }))
}

export function exportsForTests(house: House): Finding[] {
  return exportsOf(house)
    .filter(({ takers }) => takers.length > 0 && takers.every((file) => file.startsWith('tests/')))
    .map(({ file, line, name, takers }) => ({ file, line, says: `${name}, taken by ${takers[0]}` }))
}

/** What has a role of its own keeps its own file, however small. */
const ROLES =
  /\/([\w-]+-)?(routes|store|forms|pages|page|input|words|types|paper|check|index|interface|tables)\.ts$|\/data\//
const SCRAP_LINES = 60

/** Small files without a role that one neighbour in the same folder calls, and nobody else. */
export function scraps(house: House): Finding[] {
  const callers = new Map<string, Set<string>>()
  for (const { file, owner } of usesOf(house).filter((use) => !use.file.startsWith('tests/')))
    if (file !== owner) callers.set(owner, (callers.get(owner) ?? new Set()).add(file))
  return programOf(house).flatMap(({ file, lines }) => {
    const [caller, ...others] = callers.get(file) ?? []
    const near = caller && folderOf(caller) === folderOf(file) && !/^(seed|migrations)\//.test(file)
    if (!near || others.length || lines >= SCRAP_LINES || ROLES.test(file)) return []
    return [{ file, says: `${lines} lines, called by ${caller}` }]
  })
}

function folderOf(file: string): string {
  return file.slice(0, file.lastIndexOf('/'))
}
