import { type House, type Module, programOf } from '../reading/house.ts'
import type { Finding } from './finding.ts'

/** Exported functions of the domain without a docstring. */
export function undocumented(house: House): Finding[] {
  return domainOf(house).flatMap(({ file, functions }) =>
    functions
      .filter(({ exported, documented }) => exported && !documented)
      .map(({ name, line }) => ({ file, line, says: name })),
  )
}

/** A figure's unit as a name ends or begins with it: `depthMm`, `dailyLossM3`, `daysBetween`, and what has none, as a share or a count. */
const UNIT_IN_NAME =
  /(^(days|weeks|hours|minutes|litres|wholeLitres)|M3|M2|Mm|Cm|M|Litres|Days|Weeks|Hours?|Minutes?|Minor|Kpa|KpaPerC|MjM2|Pct|C|PerS|PerH|PerDay|Fraction|Share|Part|Factor|Ratio|Index|Coefficient|Count|Number|Rad)($|[A-Z])/
const UNIT_IN_WORDS =
  /\b(m3|m2|mm|cm|m|km|litres?|days?|weeks?|hours?|minutes?|kPa|MJ|W\/m2|m\/s|degrees?|radians?|per cent|minor units?|coins?|fraction|shares?|parts?|factor|ratio|times|count|number|how many|place|0 to 1|0\.\.1|unit|persons?|people)\b/i

/** Exported functions of the domain that give a bare number and say its unit neither in their name nor in words. */
export function withoutUnit(house: House): Finding[] {
  return domainOf(house).flatMap(({ file, functions }) =>
    functions
      .filter(({ exported, returns }) => exported && /^(number|number \| null|null \| number)$/.test(returns))
      .filter(({ name, docstring }) => !UNIT_IN_NAME.test(name) && !UNIT_IN_WORDS.test(docstring))
      .map(({ name, line }) => ({ file, line, says: name })),
  )
}

/** A year in brackets, an equation, or the plain word that there is none. */
const SOURCE =
  /Source:|\bFAO|ASCE|ISO \d|IAPWS|\(\d{4}\)|\b1[89]\d\d\b|\b20[0-2]\d\b|equation|common practice|no source|derived|\bours\b|by definition/
/** Halves and what is only finer than anything measured are nobody's figures. */
const PLAIN = new Set([0.5, 0.25, 1.5])
const FINEST = 0.01

/** Files of the domain that reckon with figures of their own and name nobody from whom they have them. */
export function withoutSource(house: House): Finding[] {
  return domainOf(house).flatMap((module) => {
    const figures = figuresOf(module)
    if (figures.length === 0 || SOURCE.test(commentsOf(module))) return []
    return [{ file: module.file, says: figures.slice(0, 5).join(', ') }]
  })
}

function figuresOf({ nodes }: Module): number[] {
  return nodes.flatMap(({ type, value }) => {
    const isFigure = type === 'Literal' && typeof value === 'number' && !Number.isInteger(value)
    return isFigure && Math.abs(value) > FINEST && !PLAIN.has(value) ? [value] : []
  })
}

function commentsOf({ text }: Module): string {
  return (text.match(/\/\*\*[\s\S]*?\*\/|\/\/.*$/gm) ?? []).join('\n')
}

function domainOf(house: House): Module[] {
  return programOf(house).filter(({ file }) => file.startsWith('domain/'))
}
