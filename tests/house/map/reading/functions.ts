import { isNode, lineAt, type Node, nameOf, within } from './syntax.ts'

export interface Func {
  name: string
  line: number
  lines: number
  exported: boolean
  documented: boolean
  /** What stands before it in the way of a docstring; nothing where none stands. */
  docstring: string
  /** As it is written: `number | null`; nothing where the compiler infers it. */
  returns: string
  /** Its text without the name and the spaces, by which a second writing of the same is found. */
  body: string
}

const KINDS = ['FunctionDeclaration', 'FunctionExpression', 'ArrowFunctionExpression']

/** Every function with a body in braces, and the short arrows that bear a name; handlers inside another count by themselves too. */
export function functionsIn(text: string, program: Node): Func[] {
  const named = namedFunctions(program)
  const exported = exportedNodes(program)
  const overloads = [...exported].filter(([{ type }]) => type === 'TSDeclareFunction')
  return [...within(program)]
    .filter((node) => KINDS.includes(node.type) && isNode(node.body))
    .filter((node) => named.has(node) || (node.body as Node).type === 'BlockStatement')
    .map((node) => {
      const { name = '(nameless)', from = node } = named.get(node) ?? {}
      const statement = exported.get(from)
      const statements = [statement, ...overloads.filter(([{ id }]) => nameOf(id) === name).map(([, each]) => each)]
      const docstring = statements.map((each) => (each ? docstringBefore(text, each.start) : '')).find(Boolean) ?? ''
      return {
        name,
        line: lineAt(text, from.start),
        lines: text.slice(node.start, node.end).split('\n').length,
        exported: statement !== undefined,
        documented: docstring !== '',
        docstring,
        returns: isNode(node.returnType)
          ? text.slice(node.returnType.start, node.returnType.end).replace(/^:\s*/, '')
          : '',
        body: text.slice((node.body as Node).start, node.end).replace(/\s+/g, ' '),
      }
    })
}

function docstringBefore(text: string, place: number): string {
  const before = text.slice(0, place)
  return /\*\/\s*$/.test(before) ? before.slice(before.lastIndexOf('/**')) : ''
}

/** Each function that bears a name, with the statement that gives it. */
function namedFunctions(program: Node): Map<Node, { name: string; from: Node }> {
  const found = new Map<Node, { name: string; from: Node }>()
  for (const node of within(program)) {
    if (node.type === 'FunctionDeclaration') found.set(node, { name: nameOf(node.id), from: node })
    if (node.type === 'MethodDefinition') found.set(node.value as Node, { name: nameOf(node.key), from: node })
    if (node.type !== 'VariableDeclaration') continue
    for (const { id, init } of node.declarations as Node[])
      if (isNode(init)) found.set(init, { name: nameOf(id), from: node })
  }
  return found
}

/** The declarations that are exported, with the statement before which their docstring stands. */
function exportedNodes(program: Node): Map<Node, Node> {
  const statements = (program.body as Node[]).filter((node) => node.type === 'ExportNamedDeclaration')
  return new Map(
    statements.flatMap((node) => (isNode(node.declaration) ? [[node.declaration, node] as [Node, Node]] : [])),
  )
}
