import type { Desk } from '../../web/pages/desk.ts'
import type { ListLine } from '../../web/pages/long-list.ts'
import { type Complaint, listComplaints } from './store.ts'

/** Both sides, the committee and the auditor read a complaint. */
export function mayReadComplaint(desk: Desk, { byId, aboutId }: Complaint): boolean {
  return desk.may('hearing.see-all') || [byId, aboutId].includes(desk.person.id)
}

/** Those that whoever looks may read: the open ones first. */
export async function complaintLines(desk: Desk, of?: (one: Complaint) => boolean): Promise<ListLine[]> {
  const { t, format, person } = desk
  const all = (await listComplaints(desk.db)).filter((one) => mayReadComplaint(desk, one) && (of?.(one) ?? true))
  return [...all.filter(({ isSettled }) => !isSettled), ...all.filter(({ isSettled }) => isSettled)].map((one) => ({
    at: format.shortDay(one.saidOn),
    words: one.words,
    small: t('complaint.by', { name: one.byName }),
    figure: t(one.isSettled ? 'complaint.settled' : one.hearings.length > 0 ? 'complaint.goes-on' : 'complaint.waits'),
    href: `/people/complaints/${one.id}`,
    isOwn: one.byId === person.id,
  }))
}
