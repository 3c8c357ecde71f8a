import type { CalendarDate } from '../../../domain/calendar.ts'
import { carried, type DecidingBody, numberKey, quorumOf } from '../../../domain/people/decision.ts'
import { actsResting } from '../../book/minutes/store.ts'
import type { Database } from '../../database/connection.ts'
import { text } from '../../web/forms/fields.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { allRoles } from '../person/store.ts'
import { listDecisions, quorumPartOn } from './store.ts'

/** The number of the decision on which an act rests, chosen among those of the book or typed. */
export function minuteField() {
  return { ...text({ max: 60 }), words: 'decision.minute' }
}

/** The numbers of the decisions book, to choose one for an act. */
export async function minuteOptions({ db, format, t }: Pick<Desk, 'db' | 'format' | 't'>): Promise<Option[]> {
  return (await listDecisions(db)).map(({ number, metOn, words }) => ({
    value: number,
    label: t('decision.minute.option', { date: format.date(metOn), words: beginningOf(words) }),
  }))
}

/** So long a line of a list to choose from may be. */
const OPTION_SIGNS = 60

/** The first whole words of a long sentence. */
function beginningOf(words: string): string {
  if (words.length <= OPTION_SIGNS) return words
  return `${words.slice(0, words.lastIndexOf(' ', OPTION_SIGNS))} …`
}

/** A minute that an act names: where it is read, or that it is not yet written in the decisions book. */
interface MinuteShown {
  number: string
  href: string | null
}

/** Every number that an act may name, as it is shown beside the act. */
export async function minutesShown(db: Database): Promise<(number: string) => MinuteShown> {
  const ids = new Map((await listDecisions(db)).map(({ key, id }) => [key, id]))
  return (number) => {
    const id = ids.get(numberKey(number))
    return { number, href: id ? `/people/lines/decision/${id}` : null }
  }
}

/** The minute on which an act rests, by the act's id. */
export async function minutesOfActs(db: Database): Promise<Map<string, MinuteShown>> {
  const shown = await minutesShown(db)
  return new Map((await actsResting(db)).map(({ id, number }) => [id, shown(number)]))
}

interface Meeting {
  body: DecidingBody
  metOn: CalendarDate
  present: number | null
  votesFor: number | null
  votesAgainst: number | null
  abstained: number | null
}

/** How it was voted, and whether enough were there by the rule of that day, in sentences. */
export async function votesInWords({ db, t }: Desk, meeting: Meeting) {
  const { votesFor, votesAgainst, abstained, present, body, metOn } = meeting
  const isCarried = carried(meeting)
  const counted = { for: votesFor ?? 0, against: votesAgainst ?? 0, abstained: abstained ?? 0 }
  const votes =
    isCarried === null ? t('decision.not-counted') : t(isCarried ? 'decision.carried' : 'decision.not-carried', counted)
  const part = await quorumPartOn(db, body, metOn)
  const here = present === null ? t('decision.present-unknown') : t('decision.present-line', { present })
  if (part === null) return { votes, quorum: `${here} ${t('decision.no-quorum-rule')}`, isShort: false }
  const mayVote = await countOf(db, body, metOn)
  const least = quorumOf({ part, mayVote })
  const isShort = present !== null && present < least
  const rule = t('decision.quorum-line', { least, mayVote, part: t(`decision.quorum.part.${part}`) })
  return { votes, quorum: `${here} ${rule}${isShort ? ` ${t('decision.too-few')}` : ''}`, isShort }
}

/** Members vote in the meeting, the committee among itself. */
async function countOf(db: Database, body: DecidingBody, on: CalendarDate): Promise<number> {
  const office = body === 'meeting' ? 'member' : 'committee'
  return [...(await allRoles(db, on)).values()].filter((roles) => roles.includes(office)).length
}
