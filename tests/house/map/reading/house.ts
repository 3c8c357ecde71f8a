import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Func, functionsIn } from './functions.ts'
import { type Export, exportsIn, type Import, importsIn } from './names.ts'
import { type Node, parse, within } from './syntax.ts'

export interface Module {
  file: string
  text: string
  lines: number
  imports: Import[]
  exports: Export[]
  functions: Func[]
  nodes: Node[]
}

export interface Template {
  file: string
  lines: string[]
}

/** All that is written in the project, read once. */
export interface House {
  files: string[]
  modules: Map<string, Module>
  templates: Template[]
}

/** The whole house, or of one floor alone what stands on it. */
export function readHouse(root: string, floor = ''): House {
  const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], { cwd: root })
    .toString()
    .split('\n')
    .filter((file) => file && existsSync(join(root, file)))
  const read = files.filter((file) => file.startsWith(floor) && (CODE.test(file) || file.endsWith('.eta')))
  return houseOf(files, new Map(read.map((file) => [file, readFileSync(join(root, file), 'utf8')])))
}

const CODE = /^(domain|server|migrations|seed|tests)\/.*\.ts$/

/** The house from the names of its files and the texts of those that are code or templates. */
export function houseOf(files: string[], texts: ReadonlyMap<string, string>): House {
  const ending = (end: string) => [...texts].filter(([file]) => file.endsWith(end))
  return {
    files,
    modules: new Map(ending('.ts').map(([file, text]) => [file, readModule(file, text)])),
    templates: ending('.eta').map(([file, text]) => ({ file, lines: linesOf(text) })),
  }
}

function readModule(file: string, text: string): Module {
  const program = parse(text)
  return {
    file,
    text,
    lines: linesOf(text).length,
    imports: importsIn(file, text, program),
    exports: exportsIn(file, text, program),
    functions: functionsIn(text, program),
    nodes: [...within(program)],
  }
}

function linesOf(text: string): string[] {
  return text.replace(/\n$/, '').split('\n')
}

/** The modules that make up the program itself. */
export function programOf(house: House): Module[] {
  return [...house.modules.values()].filter(({ file }) => !file.startsWith('tests/'))
}
