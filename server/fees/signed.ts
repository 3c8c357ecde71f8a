import type { Approval } from '../book/names/approvals.ts'
import type { Desk } from '../web/pages/desk.ts'

/** Who put a name under a matter, and when. */
export function signed({ t, format }: Desk, name: string, at: string): string {
  return t('money.signed', { name, when: format.instant(at) })
}

/** The second name under a matter; null while it is pending. */
export function secondName(desk: Desk, approval: Approval | null): string | null {
  return approval && signed(desk, approval.approverName, approval.approvedAt)
}
