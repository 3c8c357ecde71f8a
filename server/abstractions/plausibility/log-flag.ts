import type { Flag } from '../../../domain/abstractions/plausibility/logged-turn.ts'

export interface LogFlag {
  code: Flag['code'] | 'turn-logged-twice' | 'slip-number-twice'
  likelyCause: Flag['likelyCause'] | 'written-twice' | 'slip-misread'
  values: Flag['values']
}
