import { may, type Permission } from '../../domain/people/permissions.ts'

interface Room {
  label: string
  href: string
  permission: Permission
  /** First parts of the addresses that belong to the room, beside its own. */
  parts: string
}

const ROOMS: Room[] = [
  { label: 'layout.room-today', href: '/', permission: 'turns.see', parts: '' },
  {
    label: 'layout.room-water',
    href: '/water',
    permission: 'water.see',
    parts: `weirs levels reserve water-settings outlook outlook-settings rain-records drought-stages drought-declarations
      stream-share shut-marks gaugings float-gaugings bucket-gaugings inspections`,
  },
  {
    label: 'layout.room-crops',
    href: '/crops',
    permission: 'crops.see',
    parts: 'weather needs crop-plans planting',
  },
  {
    label: 'layout.room-rotation',
    href: '/weeks',
    permission: 'turns.see',
    parts: `turns requests sharing-rule no-turn-days no-turn-hours fairness holder-groups line-positions outlet-fillings turn-lengths
      outlet-pairs turn-grounds tank-turns tank-outlets tank-uses changes days sequence slots swaps bookings missed-turns urgent-quotas`,
  },
  {
    label: 'layout.room-abstractions',
    href: '/log',
    permission: 'abstractions.see',
    parts: `abstractions balance paper meters merged faults fault-fixes services flow-tests night-tests meter-night-tests pump-readings tank-readings tanks
      tank-days slip-books book`,
  },
  {
    label: 'layout.room-fees',
    href: '/money',
    permission: 'money.see-own',
    parts: `tariffs charges payments statements receipts receipt-books cash-book cash-counts openings reconciliation findings
      closings money-statements vouchers moves reserve-moves float-limit fixed-fees payer-classes arrears promises reliefs fines
      kind-rates kind-payments fee-proposal season-report`,
  },
  {
    label: 'layout.room-people',
    href: '/people',
    permission: 'people.see',
    parts: 'persons plots pumps outlets group passwords received-before',
  },
]

/** The doors in the header that this visitor may open, with the one that is open now. */
export function roomsFor(roles: readonly string[], path: string) {
  const part = path.split('/')[1] ?? ''
  return ROOMS.filter((room) => may({ roles, permission: room.permission })).map(({ label, href, parts }) => ({
    label,
    href,
    current: part === href.slice(1) || parts.split(/\s+/).includes(part),
  }))
}
