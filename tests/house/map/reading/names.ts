import { dirname, join } from 'node:path'
import { isNode, lineAt, type Node, nameOf, within } from './syntax.ts'

/** What a file takes from another of the project; `*` stands for everything. */
export interface Import {
  target: string
  line: number
  names: string[]
}

/** A name that a file gives away; `from` when it only hands on what another file owns. */
export interface Export {
  name: string
  line: number
  from?: { target: string; name: string }
}

export function importsIn(file: string, text: string, program: Node): Import[] {
  return [...within(program)].flatMap((node) => {
    const specifier = specifierOf(node)
    if (!specifier?.startsWith('.') || !specifier.endsWith('.ts')) return []
    const names = takenNames(node).flatMap((name) => (name.endsWith('.') ? members(program, name.slice(0, -1)) : name))
    return [{ target: join(dirname(file), specifier), line: lineAt(text, node.start), names }]
  })
}

function specifierOf(node: Node): string | undefined {
  if (node.type === 'ImportDeclaration' || node.type === 'ImportExpression' || node.type === 'TSImportType')
    return nameOf(node.source)
  const [first] = (node.type === 'NewExpression' && nameOf(node.callee) === 'URL' ? node.arguments : []) as Node[]
  return first?.type === 'Literal' ? nameOf(first) : undefined
}

/** `name` for a name that is taken, `all.` for everything taken under a name of its own, `*` for what cannot be told. */
function takenNames(node: Node): string[] {
  if (node.type !== 'ImportDeclaration') return ['*']
  return (node.specifiers as Node[]).map(({ imported, local }) =>
    isNode(imported) ? nameOf(imported) : `${nameOf(local)}.`,
  )
}

/** What is used of everything taken as `all`: `all.name` in an expression or in a type; if it is handed about whole, all. */
function members(program: Node, all: string): string[] {
  const uses = [...within(program)].filter((node) => node.type === 'Identifier' && nameOf(node) === all).length - 1
  const found = [...within(program)].flatMap((node) => {
    if (node.type === 'MemberExpression' && !node.computed && nameOf(node.object) === all)
      return [nameOf(node.property)]
    if (node.type === 'TSQualifiedName' && nameOf(node.left) === all) return [nameOf(node.right)]
    return []
  })
  return found.length === uses ? found : ['*']
}

export function exportsIn(file: string, text: string, program: Node): Export[] {
  return (program.body as Node[]).flatMap((node): Export[] => {
    const line = lineAt(text, node.start)
    const target = isNode(node.source) ? join(dirname(file), nameOf(node.source)) : null
    if (node.type === 'ExportAllDeclaration' && target) return [{ name: '*', line, from: { target, name: '*' } }]
    if (node.type === 'ExportDefaultDeclaration') return [{ name: 'default', line }]
    if (node.type !== 'ExportNamedDeclaration') return []
    if (isNode(node.declaration)) return declaredNames(node.declaration).map((name) => ({ name, line }))
    return (node.specifiers as Node[]).map(({ local, exported }) => {
      const from = target ? { target, name: nameOf(local) } : undefined
      return { name: nameOf(exported), line, from }
    })
  })
}

function declaredNames(declaration: Node): string[] {
  if (declaration.type !== 'VariableDeclaration') return [nameOf(declaration.id)]
  return (declaration.declarations as Node[]).flatMap(({ id }) =>
    [...within({ ...(id as Node), typeAnnotation: null })].filter(({ type }) => type === 'Identifier').map(nameOf),
  )
}
