import { parseAst } from 'vitest/node'

/** A node of the syntax tree (ESTree, with TypeScript's own kinds), as far as the house looks at it. */
export interface Node {
  type: string
  start: number
  end: number
  [part: string]: unknown
}

export function parse(text: string): Node {
  return parseAst(text, { lang: 'ts', sourceType: 'module' }) as unknown as Node
}

/** The node and all that is written inside it, outer before inner. */
export function* within(node: Node): Generator<Node> {
  yield node
  for (const part of Object.values(node)) {
    for (const child of Array.isArray(part) ? part : [part]) if (isNode(child)) yield* within(child)
  }
}

export function isNode(part: unknown): part is Node {
  return typeof part === 'object' && part !== null && 'type' in part && 'start' in part
}

/** The name of an identifier, or of a key written as text. */
export function nameOf(node: unknown): string {
  const { name, value } = node as { name?: string; value?: string }
  return name ?? value ?? ''
}

/** The number of the line, from 1, in which a place of the text stands. */
export function lineAt(text: string, place: number): number {
  return text.slice(0, place).split('\n').length
}
