import { type House, programOf } from '../reading/house.ts'

/** One file takes a name that another owns, whichever index it came through. */
export interface Use {
  file: string
  line: number
  owner: string
  name: string
}

export function usesOf(house: House): Use[] {
  return [...house.modules.values()].flatMap(({ file, imports }) =>
    imports.flatMap(({ target, line, names }) =>
      names.flatMap((name) => owners(house, target, name).map((owned) => ({ file, line, ...owned }))),
    ),
  )
}

/** Who owns the name; a file that only hands names on owns none of them. */
function owners(house: House, file: string, name: string): { owner: string; name: string }[] {
  const exports = house.modules.get(file)?.exports ?? []
  if (name === '*') return exports.flatMap((one) => ownersOf(house, file, one))
  const own = exports.find((one) => one.name === name)
  if (own) return ownersOf(house, file, own)
  return exports.flatMap((one) => (one.name === '*' && one.from ? owners(house, one.from.target, name) : []))
}

function ownersOf(house: House, file: string, one: { name: string; from?: { target: string; name: string } }) {
  return one.from ? owners(house, one.from.target, one.from.name) : [{ owner: file, name: one.name }]
}

/** What the program's files take of each other, without the tests. */
export function programUses(house: House): Use[] {
  const program = new Set(programOf(house).map(({ file }) => file))
  return usesOf(house).filter(({ file, owner }) => program.has(file) && file !== owner)
}
