import { countsOn } from '../../../domain/people/ladder.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { listWarnings } from './store.ts'

/** The words and warnings to whoever looks that count today, so that nobody hears of them last: on the own first page alone. */
export async function ownSteps({ db, t, format, person, today }: Desk) {
  const any = await db.selectFrom('warning').select('entryId').where('personId', '=', person.id).limit(1).execute()
  if (any.length === 0) return []
  return (await listWarnings(db))
    .filter((one) => one.personId === person.id && countsOn(one, today))
    .map(({ id, step, rule, lapseOn }) => ({
      picture: 'name',
      words: t(`warning.own.${step}`, { rule }),
      small: t('warning.own.counts', { date: format.date(lapseOn) }),
      href: `/people/names/warning/${id}`,
    }))
}
