export const ROLES = ['committee', 'attendant', 'treasurer', 'auditor', 'neighbour', 'member'] as const
type Role = (typeof ROLES)[number]

const OFFICERS = ['committee', 'attendant', 'treasurer', 'auditor'] as const
const ALL = ROLES

/**
 * What each role may do: the one table that the routes, the pages and the tests read. Turns and volumes are open to
 * all; money is seen by its owner, the treasurer and the auditor; nobody's debt bars anyone from anything.
 */
const PERMISSIONS = {
  'group.set': ['committee'],
  'people.see': ALL,
  'people.register': ['committee'],
  /** Other words for a sentence of the book, in any language. */
  'words.change': ['committee'],
  /** The clips of which everything that is heard is put together. */
  'voice.record': ['committee'],
  'decision.write': ['committee'],
  /** Words of a decision that are about one person's money or household. */
  'decision.see-all': ['committee', 'treasurer', 'auditor'],
  /** Warnings and complaints of others: whoever hears them, and whoever looks over the books. */
  'hearing.see-all': ['committee', 'auditor'],
  /** Offices given and taken, sign-ins given anew and ended: always with a second name. */
  'office.give': ['committee', 'treasurer', 'auditor'],
  /** Keys, cash and meters that went from hand to hand. */
  'handover.see': OFFICERS,
  /** What was tried and refused at the door, of everybody. */
  'door.see': ['auditor'],
  /** Devices on which people sign in by mark and code. */
  'device.register': ['committee', 'attendant', 'treasurer'],
  /** Telephone numbers of others; one's own is seen by everybody. */
  'phone.see': OFFICERS,
  'works.describe': ['committee'],
  /** What a mending cost and the number of its voucher. */
  'works.cost-see': OFFICERS,
  'water.see': ALL,
  'water.describe': ['committee'],
  'level.record': ['committee', 'attendant'],
  'crops.see': ALL,
  'crops.declare': ['committee'],
  'weather.record': ['committee', 'attendant', 'member'],
  /** A day of weather or rain that stands already; a member writes what is not written yet. */
  'weather.change': ['committee', 'attendant'],
  'turns.see': ALL,
  'water.request': ['committee', 'attendant', 'member'],
  'rule.set': ['committee'],
  'week.draft': ['committee', 'auditor'],
  'week.publish': ['committee'],
  /** A second name under what parts are reckoned by, before whoever wrote it publishes. */
  'basis.name': OFFICERS,
  'abstractions.see': ALL,
  'abstraction.log': ['committee', 'attendant'],
  'money.see-own': ['committee', 'attendant', 'treasurer', 'auditor', 'member'],
  'money.see-all': ['treasurer', 'auditor'],
  'tariff.set': ['treasurer'],
  'tariff.see': ['committee', 'treasurer', 'auditor', 'member', 'attendant'],
  'tariff.approve': ['committee', 'treasurer'],
  'charges.post': ['treasurer'],
  'payment.record': ['treasurer'],
  'voucher.see': ['committee', 'treasurer', 'auditor'],
  'voucher.approve': ['committee'],
  'relief.approve': ['committee'],
  'fine.approve': ['committee'],
  'closing.see': ['committee', 'treasurer', 'auditor'],
  'closing.approve': ['committee'],
  'book.export': OFFICERS,
} as const satisfies Record<string, readonly Role[]>

export type Permission = keyof typeof PERMISSIONS

/** Whether a role is an office of the group, which no officer gives or takes alone. */
export function isOffice(role: string): boolean {
  return (OFFICERS as readonly string[]).includes(role)
}

/** True when one of the roles gives the permission. */
export function may({ roles, permission }: { roles: readonly string[]; permission: Permission }): boolean {
  return (PERMISSIONS[permission] as readonly string[]).some((role) => roles.includes(role))
}
