import { WATER_NEEDS } from '../../../domain/water/data/water-needs.ts'
import type { Typed } from '../../web/forms/forms.ts'
import { USER_KINDS, type UserCount, type UserKind, type WaterUserSet } from './store.ts'

/** The two fields of the form for each kind of users. */
const USER_FIELDS = {
  person: { heads: 'people', litres: 'peopleLitres' },
  pupil: { heads: 'pupils', litres: 'pupilLitres' },
  cattle: { heads: 'cattle', litres: 'cattleLitres' },
  donkey: { heads: 'donkeys', litres: 'donkeyLitres' },
  'goat-or-sheep': { heads: 'goatsAndSheep', litres: 'goatOrSheepLitres' },
} as const satisfies Record<UserKind, { heads: string; litres: string }>

type FieldName = (typeof USER_FIELDS)[UserKind]['heads' | 'litres']

export function usersOfInput(input: Record<FieldName, number>): UserCount[] {
  return USER_KINDS.map((kind) => {
    const { heads, litres } = USER_FIELDS[kind]
    return { kind, heads: input[heads], litresPerHeadDay: input[litres] }
  })
}

/** The last count, or nobody counted yet and the usual litres of the guides. */
export function inputOfUsers(last: WaterUserSet | undefined): Typed {
  const typed: Typed = {}
  for (const kind of USER_KINDS) {
    const counted = last?.users.find((user) => user.kind === kind)
    typed[USER_FIELDS[kind].heads] = counted ? String(counted.heads) : ''
    typed[USER_FIELDS[kind].litres] = String(counted?.litresPerHeadDay ?? needOf(kind).usualLitresPerDay)
  }
  return typed
}

export function needOf(kind: UserKind) {
  const need = WATER_NEEDS.find((row) => row.kind === kind)
  if (!need) throw new RangeError(`no water need for ${kind}`)
  return need
}
