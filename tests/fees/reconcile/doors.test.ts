import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Difference } from '../../../domain/fees/reconcile/difference.ts'
import { may, type Permission, ROLES } from '../../../domain/people/permissions.ts'
import type { PeriodBooks } from '../../../server/fees/reconcile/books.ts'
import { doorsOf } from '../../../server/fees/reconcile/finding-doors.ts'
import type { Desk } from '../../../server/web/pages/desk.ts'
import { SEEN_BY } from '../../house/who-may-see.ts'

type Role = (typeof ROLES)[number]

const WORDS = JSON.parse(readFileSync('views/locales/en/fees/agree/reconcile.json', 'utf8')) as Record<string, string>
const CODES = Object.keys(WORDS).flatMap((key) => /^difference\.(.+)$/.exec(key)?.[1] ?? []) as Difference['code'][]
const LOOKING = ROLES.filter((role) => may({ roles: [role], permission: 'closing.see' }))

/** Who opens an address, from the table that is written apart from the program. */
const openedBy = (href: string): string[] =>
  Object.entries(SEEN_BY).flatMap(([roles, paths]) =>
    paths
      .trim()
      .split(/\s+/)
      .some((path) => pattern(path).test(href.replace(/#.*/, '')))
      ? roles.split(' ')
      : [],
  )
const pattern = (path: string) => new RegExp(`^${path.replace('?', '\\?').replace(/:\w+/g, '[^/?]+')}$`)

const COUNTED = {
  count: { id: 'count1' },
  reserveCount: { id: 'count2' },
  statements: [{ column: 'bank', id: 'paper1' }],
}
const NOTHING = { count: null, reserveCount: null, statements: [] }

function doors(role: Role, code: Difference['code'], books: object): string[] {
  const desk = {
    t: (key: string) => key,
    may: (permission: Permission) => may({ roles: [role], permission }),
  } as unknown as Desk
  const values = { abstractionId: 'draw1', voucherId: 'voucher1', column: 'bank' }
  const span = { from: '2026-10-01', to: '2026-10-31' }
  const difference = { code, values } as unknown as Difference
  return doorsOf(desk, difference, { ...span, ...books } as unknown as PeriodBooks).map(({ href, label }) => {
    expect(Object.keys(WORDS), label).toContain(label.replace('reconcile.', ''))
    return href
  })
}

describe('the doors of what was found between log, charges and money', () => {
  it('are open to whoever is shown them, and the treasurer has one to each', () => {
    expect(CODES.length).toBeGreaterThan(20)
    for (const books of [COUNTED, NOTHING])
      for (const code of CODES)
        for (const role of LOOKING) {
          const shown = doors(role, code, books)
          if (role !== 'committee') expect(shown, code).not.toEqual([])
          for (const href of shown)
            expect(openedBy(href.replace(/\?(from|open)=.*/, '')), `${role} ${code} ${href}`).toContain(role)
        }
  })

  it('lead to the entries themselves', () => {
    const treasurer = (code: Difference['code'], books: object = COUNTED) => doors('treasurer', code, books)
    const cashBook = '/money/cash-book?from=2026-10-01&to=2026-10-31'
    expect(treasurer('charge-not-by-tariff')[0]).toBe('/log/lines/drawn/draw1')
    expect(treasurer('paid-days-not-logged-days')[0]).toBe('/money/names/voucher/voucher1')
    expect(treasurer('payment-without-voucher')).toEqual(['/money/vouchers', cashBook])
    expect(treasurer('receipt-number-missing')[0]).toBe('/money/receipts?as=books')
    expect(treasurer('receipt-on-another-account')).toEqual(['/money/receipts'])
    for (const more of ['less', 'more'] as const) {
      expect(treasurer(`counted-${more}-than-book`)).toEqual(['/money/names/count/count1'])
      expect(treasurer(`reserve-${more}-than-book`)[0]).toBe('/money/names/count/count2')
      expect(treasurer(`statement-${more}-than-book`)).toEqual(['/money/names/bank-paper/paper1'])
      expect(treasurer(`counted-${more}-than-book`, NOTHING)).toEqual([cashBook])
      expect(treasurer(`statement-${more}-than-book`, NOTHING)).toEqual(['/money/held?open=papers#papers'])
    }
    for (const code of ['unused-turn-not-charged', 'delivery-without-charge', 'delivery-charged-to-another'] as const)
      expect([doors('treasurer', code, COUNTED), doors('auditor', code, COUNTED)]).toEqual([
        ['/money/charges'],
        ['/log'],
      ])
  })
})
