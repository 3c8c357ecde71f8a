import type { Desk } from '../../web/pages/desk.ts'

/** What one line of a register is called where it is told of, without its day; null where no line of it is told by itself. */
export function registerWords({ t, locale }: Pick<Desk, 't' | 'locale'>, table: string): string | null {
  const told = `told.${table}`
  return locale.has(told) ? t(told, { day: '' }).replace(/\s*\(\s*\)/, '') : null
}
