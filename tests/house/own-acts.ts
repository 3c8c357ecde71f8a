import { PICTURES } from '../../domain/people/mark/pictures.ts'
import type { Body } from '../faults/nasty.ts'
import { VALLEY_TODAY } from '../support/valley.ts'

export type Name = 'amaru' | 'besi' | 'dovi' | 'fanta' | 'goro' | 'isko' | 'hila'
const NEXT = '2026-11-30'

/** From what was made before, by name or by the address that made it, and the id of somebody who signs in. */
type Filled<T> = (made: Readonly<Record<string, string>>, idOf: (name: Name) => string) => T

interface Act {
  path: string
  url: Filled<string>
  body?: Filled<Body>
  /** Who is neither its holder nor in the office that acts for everybody. */
  refused: Name[]
  /** Who then does it, so that nothing else was in the way. */
  taken: Name | null
}

const OTHERS: Name[] = ['besi', 'fanta', 'goro', 'isko']
const ALL_OTHERS: Name[] = [...OTHERS, 'dovi', 'amaru']
const BUT_OWN: Name[] = [...OTHERS, 'dovi']
/** The committee writes for whoever has no sign-in. */
const BUT_COMMITTEE: Name[] = BUT_OWN

/** Every act that a role as common as a member's opens, and that touches something of one person's. */
export const OWN_ACTS: Act[] = [
  {
    path: '/turns/requests',
    url: () => '/turns/requests',
    body: (made) => ({ plotId: made.plot!, weekStartOn: NEXT, everyWeek: 'yes', volume: '1', askedIn: 'm3' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/requests/:id/end',
    url: (made) => `/turns/requests/${made['/turns/requests']}/end`,
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/bookings',
    url: () => '/turns/bookings',
    body: (made) => ({
      plotId: made.plot!,
      outletId: made.outlet!,
      onDate: '2026-11-27',
      start: '04:00',
      volume: '0.5',
    }),
    refused: OTHERS,
    taken: null,
  },
  {
    path: '/turns/no-turn-hours',
    url: () => '/turns/no-turn-hours',
    body: (_, idOf) => ({
      personId: idOf('hila'),
      fromTime: '01:00',
      toTime: '02:00',
      words: 'school',
      fromOn: VALLEY_TODAY,
    }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/no-turn-hours/:id/withdrawals',
    url: (made) => `/turns/no-turn-hours/${made['/turns/no-turn-hours']}/withdrawals`,
    body: () => ({ reason: 'no longer' }),
    refused: OTHERS,
    taken: 'dovi',
  },
  {
    path: '/turns/:id/swaps',
    url: (made) => `/turns/${made.turn}/swaps`,
    body: (made) => ({ toPlotId: made.partner!, payer: 'holder' }),
    refused: OTHERS,
    taken: 'dovi',
  },
  {
    path: '/turns/swaps/:id/consents',
    url: (made) => `/turns/swaps/${made['/turns/:id/swaps']}/consents`,
    body: (made) => ({ plotId: made.plot!, given: 'message' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/swap-consents/:id/approval',
    url: (made) => `/turns/swap-consents/${made['/turns/swaps/:id/consents']}/approval`,
    refused: OTHERS,
    taken: null,
  },
  {
    path: '/turns/:id/stand-ins',
    url: (made) => `/turns/${made.turn}/stand-ins`,
    body: (_, idOf) => ({ personId: idOf('besi'), words: 'my sister' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/:id/outcomes',
    url: (made) => `/turns/${made.turn}/outcomes`,
    body: () => ({ cause: 'excused' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/people/persons/:id/mark',
    url: (_, idOf) => `/people/persons/${idOf('hila')}/mark`,
    body: () => ({ picture: PICTURES.at(-1)!.key, frame: 'box', asked: 'present' }),
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/people/persons/:id/language',
    url: (_, idOf) => `/people/persons/${idOf('hila')}/language`,
    body: () => ({ language: 'en', digits: 'deva' }),
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/people/persons/:id/mark/endings',
    url: (_, idOf) => `/people/persons/${idOf('hila')}/mark/endings`,
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/matters/:id/withholdings',
    url: (made) => `/matters/${made.count}/withholdings`,
    body: () => ({ reason: 'not so' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru'],
    taken: null,
  },
  { path: '/matters/:id/approval', url: (made) => `/matters/${made.count}/approval`, refused: ALL_OTHERS, taken: null },
  {
    path: '/money/cash-counts/:id/approval',
    url: (made) => `/money/cash-counts/${made.count}/approval`,
    refused: ALL_OTHERS,
    taken: 'hila',
  },
  {
    path: '/money/fines/:id/appeal',
    url: (made) => `/money/fines/${made.fine}/appeal`,
    body: () => ({ decidedBy: 'the elders', words: 'it was not me' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru'],
    taken: 'hila',
  },
  {
    path: '/people/warnings/:id/appeal',
    url: (made) => `/people/warnings/${made.warning}/appeal`,
    body: () => ({ toBody: 'elders', words: 'it was not me' }),
    refused: BUT_COMMITTEE,
    taken: 'hila',
  },
  {
    path: '/people/complaints',
    url: () => '/people/complaints',
    body: (_, idOf) => ({ byId: idOf('hila'), words: 'the tail gets less', saidOn: VALLEY_TODAY }),
    refused: BUT_COMMITTEE,
    taken: 'hila',
  },
  {
    path: '/money/missed-turns/:id/appeal',
    url: (made) => `/money/missed-turns/${made.hearing}/appeal`,
    body: () => ({ words: 'she sent word' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru', 'hila'],
    taken: null,
  },
]
