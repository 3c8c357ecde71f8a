import type { Id } from '../../../domain/id.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { phoneOf } from './store.ts'

/** A number as far as whoever stands there may see it; `isOpen` is false where it is kept from them. */
interface PhoneSeen {
  phone: string | null
  isOpen: boolean
}

/** One's own number is seen by everybody, that of others by the officers, who call people. */
export async function phoneSeen(
  { db, person, may }: Pick<Desk, 'db' | 'person' | 'may'>,
  personId: Id<'person'>,
): Promise<PhoneSeen> {
  const isOpen = person.id === personId || may('phone.see')
  return { phone: isOpen ? await phoneOf(db, personId) : null, isOpen }
}
