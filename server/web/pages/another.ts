import type { Typed } from '../forms/forms.ts'
import type { Desk } from './desk.ts'

/** A form that may be followed by the next one of its kind: where it stands, and the fields that are alike for both. */
export interface Repeated {
  path: string
  keeps: readonly string[]
}

/** Where a form leads whose sender writes the next one too: the same form with what is alike filled in; else where it always leads. */
export function nextOr({ posted }: Pick<Desk, 'posted'>, { path, keeps }: Repeated, otherwise: string): string {
  if (posted('another') !== 'yes') return otherwise
  const next = new URLSearchParams({ after: 'written' })
  for (const name of keeps) if (posted(name)) next.set(name, posted(name)!)
  return `${path}${path.includes('?') ? '&' : '?'}${next}`
}

/** What the form before has left for this one. */
export function keptFrom({ query }: Pick<Desk, 'query'>, { keeps }: Repeated): Typed {
  return Object.fromEntries(keeps.flatMap((name) => (query[name] ? [[name, query[name]]] : [])))
}
