import { expect, it } from 'vitest'
import { shortReason } from '../../../server/rotation/slip/reason.ts'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'

const words = { locale: loadLocale('en'), format: makeFormat('en', 'UTC') }
type Args = Parameters<typeof shortReason>

/** A share of no figure twice: asked for, counted, needed and given. */
function said(
  kind: string,
  figures: { requestedM3: number | null; countedM3: number; needM3: number },
  byHand = false,
) {
  const share = { plotId: 'p', allocatedM3: 3.3, heldBy: { kind }, ...figures }
  const results = { allocation: { claims: [] }, ...(byHand ? { hand: { changedPlotIds: ['p'] } } : {}) }
  return shortReason({ inputs: {}, results } as unknown as Args[0], share as unknown as Args[1], words as Args[2])
}

const NOTHING_ASKED = { requestedM3: null, countedM3: 8.8, needM3: 8.8 }
const LESS_ASKED = { requestedM3: 5.5, countedM3: 5.5, needM3: 8.8 }
const MORE_ASKED = { requestedM3: 9.9, countedM3: 8.8, needM3: 8.8 }
const STAGE = { requestedM3: null, countedM3: 6.6, needM3: 8.8 }
const MORE_IN_STAGE = { requestedM3: 7.7, countedM3: 6.6, needM3: 8.8 }
const HOURS = 'because the hours of its outlet carry no more.'

it.each([
  ['nothing, all of it', said('need', NOTHING_ASKED), 'For this week 3.3 m³ are given: all that the crop needs.'],
  [
    'more, all that it needs',
    said('need', MORE_ASKED),
    'For this week 9.9 m³ were asked for, 3.3 m³ are given: all that the crop needs.',
  ],
  ['less, all of it', said('request', LESS_ASKED), 'For this week 3.3 m³ are given: all that was asked for.'],
  [
    'nothing, in a stage',
    said('stage', STAGE),
    'For this week 8.8 m³ are needed, 3.3 m³ are given: all that the declared drought stage leaves of the need.',
  ],
  ['nothing, held', said('hours', NOTHING_ASKED), `For this week 8.8 m³ are needed, 3.3 m³ are given, ${HOURS}`],
  ['less, held', said('hours', LESS_ASKED), `For this week 5.5 m³ were asked for, 3.3 m³ are given, ${HOURS}`],
  [
    'more, held',
    said('hours', MORE_ASKED),
    `For this week 9.9 m³ were asked for; the crop needs 8.8 m³, which is the most that counts. 3.3 m³ are given, ${HOURS}`,
  ],
  [
    'nothing, held in a stage',
    said('hours', STAGE),
    `For this week 8.8 m³ are needed, of which the declared drought stage leaves 6.6 m³. 3.3 m³ are given, ${HOURS}`,
  ],
  [
    'more than a stage leaves, held',
    said('hours', MORE_IN_STAGE),
    `For this week 8.8 m³ are needed, of which the declared drought stage leaves 6.6 m³. 3.3 m³ are given, ${HOURS}`,
  ],
  [
    'nothing, changed by hand',
    said('need', NOTHING_ASKED, true),
    'For this week 8.8 m³ are needed, 3.3 m³ are given, because the committee changed it by hand.',
  ],
])('whoever asked for %s is told so in one sentence', (_, sentence, told) => expect(sentence).toBe(told))
