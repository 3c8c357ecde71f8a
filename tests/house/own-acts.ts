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
    path: '/turns/ask',
    url: () => '/turns/ask',
    body: (made) => ({ plotId: made.plot!, weekStartOn: NEXT, everyWeek: 'yes', volume: '1', askedIn: 'm3' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/asked/:id/end',
    url: (made) => `/turns/asked/${made['/turns/ask']}/end`,
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/ask?as=free',
    url: () => '/turns/ask?as=free',
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
    path: '/book/names/join/:id',
    url: (made) => `/book/names/join/${made.file}`,
    refused: ['amaru', 'dovi', 'isko', 'hila'],
    // Joining takes seconds: an officer who does it stands in `tests/book/join.test.ts`.
    taken: null,
  },
  {
    path: '/people/settle/hours',
    url: () => '/people/settle/hours',
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
    path: '/people/settle/hours/:id',
    url: (made) => `/people/settle/hours/${made['/people/settle/hours']}`,
    body: () => ({ reason: 'no longer' }),
    refused: OTHERS,
    taken: 'dovi',
  },
  {
    path: '/turns/:id/otherwise?as=swap',
    url: (made) => `/turns/${made.turn}/otherwise?as=swap`,
    body: (made) => ({ toPlotId: made.partner!, payer: 'holder' }),
    refused: OTHERS,
    taken: 'dovi',
  },
  {
    path: '/turns/asked/swaps/:id',
    url: (made) => `/turns/asked/swaps/${made['/turns/:id/otherwise?as=swap']}`,
    body: (made) => ({ plotId: made.plot!, given: 'message' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/names/swap/:id',
    url: (made) => `/turns/names/swap/${made['/turns/asked/swaps/:id']}`,
    refused: OTHERS,
    taken: null,
  },
  {
    path: '/turns/:id/otherwise?as=stand-in',
    url: (made) => `/turns/${made.turn}/otherwise?as=stand-in`,
    body: (_, idOf) => ({ personId: idOf('besi'), words: 'my sister' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/turns/:id/became',
    url: (made) => `/turns/${made.turn}/became`,
    body: () => ({ cause: 'excused' }),
    refused: OTHERS,
    taken: 'hila',
  },
  {
    path: '/people/:id/mark',
    url: (_, idOf) => `/people/${idOf('hila')}/mark`,
    body: () => ({ picture: PICTURES.at(-1)!.key, frame: 'box', asked: 'present' }),
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/people/settle/language/:id',
    url: (_, idOf) => `/people/settle/language/${idOf('hila')}`,
    body: () => ({ language: 'en', digits: 'deva' }),
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/people/:id/mark/end',
    url: (_, idOf) => `/people/${idOf('hila')}/mark/end`,
    refused: BUT_OWN,
    taken: 'hila',
  },
  {
    path: '/book/names/:id/withhold',
    url: (made) => `/book/names/${made.count}/withhold`,
    body: () => ({ reason: 'not so' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru'],
    taken: null,
  },
  { path: '/book/names/:id', url: (made) => `/book/names/${made.count}`, refused: ALL_OTHERS, taken: null },
  {
    path: '/money/names/count/:id',
    url: (made) => `/money/names/count/${made.count}`,
    refused: ALL_OTHERS,
    taken: 'hila',
  },
  {
    path: '/money/names/fine/:id/appeal',
    url: (made) => `/money/names/fine/${made.fine}/appeal`,
    body: () => ({ decidedBy: 'the elders', words: 'it was not me' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru'],
    taken: 'hila',
  },
  {
    path: '/people/names/warning/:id/appeal',
    url: (made) => `/people/names/warning/${made.warning}/appeal`,
    body: () => ({ toBody: 'elders', words: 'it was not me' }),
    refused: BUT_COMMITTEE,
    taken: 'hila',
  },
  {
    path: '/people/complaints/new',
    url: () => '/people/complaints/new',
    body: (_, idOf) => ({ byId: idOf('hila'), words: 'the tail gets less', saidOn: VALLEY_TODAY }),
    refused: BUT_COMMITTEE,
    taken: 'hila',
  },
  {
    path: '/money/names/missed-turn/:id/appeal',
    url: (made) => `/money/names/missed-turn/${made.hearing}/appeal`,
    body: () => ({ words: 'she sent word' }),
    refused: ['besi', 'goro', 'isko', 'dovi', 'amaru', 'hila'],
    taken: null,
  },
]
