import type { HTMLElement } from 'node-html-parser'
import type { Seen } from '../support/visitor.ts'

export function figuresOf(told: string): string[] {
  return told.match(/\d+(?:[.,:]\d+)*/g) ?? []
}

/** What is read of a part of a page, its cells apart, and what its form holds already. */
export function told(part: HTMLElement | null): string {
  if (!part) return ''
  const typed = part.querySelectorAll('input').map((input) => input.getAttribute('value') ?? '')
  const words = part.innerHTML.replace(/<[^>]*>|&#?\w+;/g, ' ')
  return [words, ...typed].join(' ').replace(/\s+/g, ' ')
}

/** The figures of each line of tables and lists, in no order: whoever reads finds the own ones first. */
export function linesOf({ html }: Seen): string[] {
  const lines = html.querySelectorAll('main tr, main dd, main li')
  const outside = lines.filter((line) => !line.closest('form') && !line.querySelector('form, tr, li'))
  return outside
    .map((line) => figuresOf(told(line)).join(' '))
    .filter(Boolean)
    .sort()
}
