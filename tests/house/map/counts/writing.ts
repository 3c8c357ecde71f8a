import { group } from 'd3-array'
import { type House, type Module, programOf } from '../reading/house.ts'
import { isNode, lineAt, type Node } from '../reading/syntax.ts'
import type { Finding } from './finding.ts'

/** `...{ a, b }` packs what is plainer written one property a line. */
export function packedObjects(house: House): Finding[] {
  return everyNode(
    house,
    ({ type, argument }) => type === 'SpreadElement' && isNode(argument) && argument.type === 'ObjectExpression',
  )
}

export function asNever(house: House): Finding[] {
  return everyNode(
    house,
    ({ type, typeAnnotation }) =>
      type === 'TSAsExpression' && isNode(typeAnnotation) && typeAnnotation.type === 'TSNeverKeyword',
  )
}

/** The zone of a group that may not be there yet is known in one place, beside the visit. */
export function ownTimeZone(house: House): Finding[] {
  return everyLine(house, /timeZone \?\? 'UTC'/).filter(({ file }) => !/^server\/(web\/|app\.ts)/.test(file))
}

/** Who writes, when, and to whom the answer goes is laid ready in one place. */
export function ownDesk(house: House): Finding[] {
  return everyLine(house, /\{ db, request, reply, at: /).filter(({ file }) => !/^server\/(web\/|app\.ts)/.test(file))
}

const SHORTEST_BODY = 30

/** Functions whose body stands word for word in another place too. */
export function twins(house: House): Finding[] {
  const all = programOf(house)
    .filter(({ file }) => !file.startsWith('migrations/'))
    .flatMap(({ file, functions }) => functions.map((one) => ({ file, ...one })))
    .filter(({ name, body }) => name !== 'constructor' && body.length >= SHORTEST_BODY)
  return [...group(all, ({ body }) => body).values()]
    .filter((same) => same.length > 1)
    .map((same) => ({
      file: same[0]!.file,
      line: same[0]!.line,
      says: same.map(({ file, line, name }) => `${name} in ${file}:${line}`).join(', '),
    }))
}

function everyNode(house: House, wrong: (node: Node) => boolean): Finding[] {
  return programOf(house).flatMap(({ file, text, nodes }) =>
    nodes.filter(wrong).map(({ start, end }) => ({
      file,
      line: lineAt(text, start),
      says: text.slice(start, end).replace(/\s+/g, ' ').slice(0, 100),
    })),
  )
}

function everyLine(house: House, wrong: RegExp): Finding[] {
  return programOf(house).flatMap((module) => linesOf(module).filter(({ says }) => wrong.test(says)))
}

function linesOf({ file, text }: Module) {
  return text.split('\n').map((says, at) => ({ file, line: at + 1, says: says.trim() }))
}
