import { may, type Permission } from '../../domain/people/permissions.ts'
import type { Visit } from '../web/pages/page.ts'

interface Door {
  label: string
  href: string
  picture: string
  permission: Permission
  /** The first parts of the addresses behind this door. */
  parts: readonly string[]
}

const TODAY: Door = { label: 'layout.room-today', href: '/', picture: 'today', permission: 'turns.see', parts: [''] }
const LOG: Door = {
  label: 'layout.room-abstractions',
  href: '/log',
  picture: 'log',
  permission: 'abstraction.log',
  parts: ['log'],
}
const TURNS: Door = {
  label: 'layout.room-rotation',
  href: '/turns',
  picture: 'turns',
  permission: 'turns.see',
  parts: ['turns'],
}
const WATER: Door = {
  label: 'layout.room-water',
  href: '/water',
  picture: 'water',
  permission: 'water.see',
  parts: ['water'],
}
const CROPS: Door = {
  label: 'layout.room-crops',
  href: '/crops',
  picture: 'crops',
  permission: 'crops.see',
  parts: ['crops'],
}
const MONEY: Door = {
  label: 'layout.room-fees',
  href: '/money',
  picture: 'money',
  permission: 'money.see-own',
  parts: ['money'],
}
const BOOK_PARTS = ['book', 'people', 'works', 'paper', 'practice']
const BOOK: Door = {
  label: 'layout.room-book',
  href: '/book',
  picture: 'book',
  permission: 'people.see',
  parts: BOOK_PARTS,
}

/**
 * The tabs of whoever has these roles, with the one lit to which the path belongs. Whoever writes at the pump finds the log where
 * others find the money (own money stands behind the own name); for everybody else the log stands in the book.
 */
export const doorsFor: Visit['doors'] = (roles, path) => {
  const part = path.split('/')[1] ?? ''
  return tabsOf(roles)
    .filter(({ permission }) => may({ roles, permission }))
    .map(({ label, href, picture, parts }) => ({ label, href, picture, current: parts.includes(part) }))
}

function tabsOf(roles: readonly string[]): Door[] {
  if (!roles.includes('attendant')) {
    return [TODAY, TURNS, WATER, CROPS, MONEY, { ...BOOK, parts: [...BOOK_PARTS, 'log'] }]
  }
  const money = may({ roles, permission: 'money.see-all' }) ? [MONEY] : []
  return [TODAY, LOG, TURNS, WATER, CROPS, ...money, BOOK]
}
