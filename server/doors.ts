import { may, type Permission } from '../domain/people/permissions.ts'

interface Door {
  label: string
  href: string
  permission: Permission
  /** The first parts of the addresses behind this door. */
  parts: readonly string[]
}

const DOORS: Door[] = [
  { label: 'layout.room-today', href: '/', permission: 'turns.see', parts: [''] },
  { label: 'layout.room-water', href: '/water', permission: 'water.see', parts: ['water'] },
  { label: 'layout.room-crops', href: '/crops', permission: 'crops.see', parts: ['crops'] },
  { label: 'layout.room-rotation', href: '/turns/weeks', permission: 'turns.see', parts: ['turns'] },
  {
    label: 'layout.room-abstractions',
    href: '/log',
    permission: 'abstractions.see',
    parts: ['log', 'works', 'paper'],
  },
  { label: 'layout.room-fees', href: '/money', permission: 'money.see-own', parts: ['money'] },
  { label: 'layout.room-people', href: '/people', permission: 'people.see', parts: ['people'] },
]

interface DoorShown {
  label: string
  href: string
  current: boolean
}

/** The doors in the header that this visitor may open, with the one that is open now. */
export function doorsFor(roles: readonly string[], path: string): DoorShown[] {
  const part = path.split('/')[1] ?? ''
  return DOORS.filter((door) => may({ roles, permission: door.permission })).map(({ label, href, parts }) => ({
    label,
    href,
    current: parts.includes(part),
  }))
}
