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

export function readHouse(root: string): House {
  const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], { cwd: root })
    .toString()
    .split('\n')
    .filter((file) => file && existsSync(join(root, file)))
  const read = (file: string) => readFileSync(join(root, file), 'utf8')
  const code = files.filter((file) => /^(domain|server|migrations|seed|tests)\/.*\.ts$/.test(file))
  return {
    files,
    modules: new Map(code.map((file) => [file, readModule(file, read(file))])),
    templates: files.filter((file) => file.endsWith('.eta')).map((file) => ({ file, lines: linesOf(read(file)) })),
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
