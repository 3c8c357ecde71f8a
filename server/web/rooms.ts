import { may, type Permission } from '../../domain/people/permissions.ts'

const ROOMS: { label: string; href: string; prefixes: string[]; permission: Permission }[] = [
  { label: 'layout.room-today', href: '/', prefixes: [], permission: 'turns.see' },
  {
    label: 'layout.room-water',
    href: '/water',
    prefixes: ['/water', '/weirs', '/levels', '/reserve', '/outlook', '/water-settings', '/drought-stages', '/drought-declarations', '/stream-share', '/gaugings', '/float-gaugings', '/bucket-gaugings', '/inspections', '/rain-records', '/shut-marks', '/outlook-settings'],
    permission: 'water.see',
  },
  {
    label: 'layout.room-crops',
    href: '/crops',
    prefixes: ['/crops', '/weather', '/needs', '/crop-plans', '/planting'],
    permission: 'crops.see',
  },
  {
    label: 'layout.room-rotation',
    href: '/weeks',
    prefixes: ['/weeks', '/turns', '/requests', '/sharing-rule', '/no-turn-days', '/no-turn-hours', '/fairness', '/holder-groups', '/line-positions', '/outlet-fillings', '/outlet-pairs', '/turn-grounds', '/changes', '/days', '/sequence', '/slots', '/swaps', '/bookings'],
    permission: 'turns.see',
  },
  {
    label: 'layout.room-abstractions',
    href: '/log',
    prefixes: ['/log', '/abstractions', '/balance', '/paper'],
    permission: 'abstractions.see',
  },
  {
    label: 'layout.room-fees',
    href: '/money',
    prefixes: ['/money', '/tariffs', '/charges', '/payments', '/statements', '/receipts', '/cash-book', '/openings', '/arrears', '/cash-counts', '/closings', '/fee-proposal', '/findings', '/fines', '/fixed-fees', '/float-limit', '/kind-payments', '/kind-rates', '/money-statements', '/moves', '/payer-classes', '/promises', '/receipt-books', '/reconciliation', '/reliefs', '/season-report', '/vouchers'],
      ...['/cash-counts', '/reconciliation', '/findings', '/closings', '/money-statements', '/receipt-books'],
      ...['/vouchers', '/moves', '/float-limit', '/fixed-fees', '/payer-classes', '/arrears', '/promises', '/reliefs'],
      ...['/fines', '/kind-rates', '/kind-payments', '/fee-proposal', '/season-report'],
    ],
    permission: 'money.see-own',
  },
  {
    label: 'layout.room-people',
    href: '/people',
    prefixes: ['/people', '/persons', '/plots', '/pumps', '/outlets', '/group', '/passwords', '/received-before'],
    permission: 'people.see',
  },
]

/** The doors in the header that this visitor may open, with the one that is open now. */
export function roomsFor(roles: readonly string[], path: string) {
  return ROOMS.filter((room) => may({ roles, permission: room.permission })).map(({ label, href, prefixes }) => ({
    label,
    href,
    current: path === href || prefixes.some((prefix) => path === prefix || path.startsWith(`${prefix}/`)),
  }))
}
