import { sql } from 'kysely'
import type { HTMLElement } from 'node-html-parser'
import type { Database } from '../../../server/database/connection.ts'
import type { Seen } from '../../support/visitor.ts'

/** A currency of three decimals (ISO 4217): by them an amount is known among the other figures of the pages of money. */
const CURRENCY = 'TND'
const AMOUNT = /\d\.\d{3}(?!\d)/
/** Volumes to the litre have three decimals too, so elsewhere than here amounts are not told from them. */
const OF_MONEY = /^\/(money|log\/faults)(?!.*\.csv)/

/** The book keeps its figures, and counts them in thousandths of that currency. */
export async function countInThousandths(db: Database): Promise<void> {
  await sql`drop trigger group_setting_no_update`.execute(db)
  await sql`update group_setting set currency = ${CURRENCY}`.execute(db)
}

/** The tables and lists of amounts on a page, and which of them, or of the words beside them, tell the currency twice or never. */
export function currencyOf({ path, html }: Seen): { withAmounts: number; amiss: string[] } {
  const hasAmounts = ({ text }: HTMLElement) => OF_MONEY.test(path) && AMOUNT.test(text)
  const told = [
    ...html.querySelectorAll('table').map((one) => ({ one, times: times(one) })),
    ...html.querySelectorAll('ul.list').map((one) => ({ one, times: times(one) + isToldAbove(one) })),
  ]
  const wrong = told.filter(({ one, times }) => times > 1 || (times === 0 && hasAmounts(one)))
  const amiss = wrong.map(({ one, times }) => `${path} ${one.tagName}: ${CURRENCY} ${times} times`)
  const withAmounts = told.filter(({ one }) => hasAmounts(one)).length
  for (const { one } of told) one.remove()
  const beside = html
    .querySelectorAll('body *')
    .flatMap(({ childNodes }) => childNodes.filter(({ nodeType }) => nodeType === 3))
  const bare = beside.map(({ text }) => text.replaceAll(/TND\s[\d,.]+/g, '')).filter((text) => AMOUNT.test(text))
  if (OF_MONEY.test(path)) amiss.push(...bare.map((text) => `${path}: ${text}`))
  return { withAmounts, amiss }
}

function times({ text }: HTMLElement): number {
  return text.split(CURRENCY).length - 1
}

/** By the line that stands above a list, or above the fold that it is in. */
function isToldAbove(list: HTMLElement): number {
  for (let inside: HTMLElement | null = list; inside; inside = inside.parentNode) {
    for (let before = inside.previousElementSibling; before; before = before.previousElementSibling) {
      if (before.classList.contains('unit')) return times(before)
    }
  }
  return 0
}
