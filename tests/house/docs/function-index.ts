import type { House } from '../map/reading/house.ts'

const HEAD = '## Every public function'
const END = '\n## Bibliography\n'
const INTRO =
  'Module by module, as `npm run methods` writes it from the code; what each says stands above it in the code, and its equation above here.'

/** The functions of the domain that others may call, a line a module. */
export function functionIndex({ modules }: House): string {
  const lines = [...modules.values()]
    .filter(({ file }) => file.startsWith('domain/'))
    .map(({ file, functions }) => ({
      file,
      names: functions.filter(({ exported }) => exported).map(({ name }) => name),
    }))
    .filter(({ names }) => names.length > 0)
    .toSorted((a, b) => (a.file < b.file ? -1 : 1))
    .map(({ file, names }) => `- \`${file}\`: ${[...new Set(names)].map((name) => `\`${name}\``).join(', ')}`)
  return `${HEAD}\n\n${INTRO}\n\n${lines.join('\n')}\n`
}

/** The methods with the index as it should be, before the bibliography. */
export function withIndex(methods: string, index: string): string {
  const end = methods.indexOf(END)
  const start = methods.indexOf(`\n${HEAD}\n`)
  return `${methods.slice(0, start < 0 ? end : start)}\n${index}${methods.slice(end)}`
}
