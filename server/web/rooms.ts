import { may, type Permission } from '../../domain/people/permissions.ts'

const ROOMS: { label: string; href: string; prefixes: string[]; permission: Permission }[] = [
  { label: 'layout.room-today', href: '/', prefixes: [], permission: 'turns.see' },
  {
    label: 'layout.room-water',
    href: '/water',
    prefixes: ['/water', '/weirs', '/levels', '/reserve'],
    permission: 'water.see',
  },
  {
    label: 'layout.room-crops',
    href: '/crops',
    prefixes: ['/crops', '/weather', '/needs', '/crop-plans'],
    permission: 'crops.see',
  },
  {
    label: 'layout.room-rotation',
    href: '/weeks',
    prefixes: [
      '/weeks',
      '/turns',
      '/requests',
      '/sharing-rule',
      '/no-turn-days',
      '/no-turn-hours',
      '/turn-grounds',
      '/fairness',
    ],
    permission: 'turns.see',
  },
  {
    label: 'layout.room-abstractions',
    href: '/log',
    prefixes: ['/log', '/abstractions', '/balance'],
    permission: 'abstractions.see',
  },
  {
    label: 'layout.room-fees',
    href: '/money',
    prefixes: ['/money', '/tariffs', '/charges', '/payments', '/statements', '/receipts', '/cash-book', '/openings'],
    permission: 'money.see-own',
  },
  {
    label: 'layout.room-people',
    href: '/people',
    prefixes: ['/people', '/persons', '/plots', '/pumps', '/outlets', '/group'],
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
