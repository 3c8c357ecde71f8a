import type { Flag } from '../../../domain/abstractions/plausibility/logged-turn.ts'

export interface LogFlag {
  code:
    | Flag['code']
    | 'turn-logged-twice'
    | 'slip-number-twice'
    | 'meter-changed'
    | 'taker-of-no-plot'
    | 'in-own-turn'
    | 'at-own-outlet'
    | 'pump-gave-more'
    | 'crops-from-drinking-tank'
    | 'drinking-tank-below-mark'
  likelyCause:
    | Flag['likelyCause']
    | 'written-twice'
    | 'slip-misread'
    | 'one-saw-both'
    | 'ask-the-taker'
    | 'ask-at-the-outlet'
    | 'one-misread'
    | 'drinking-tank'
  values: Flag['values']
  /** Other entries that it is about: the reading before or after it, the other line of its turn or slip. */
  otherIds?: readonly string[]
}
