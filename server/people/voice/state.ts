import type { Id } from '../../../domain/id.ts'
import { currencyExponent } from '../../../domain/money/money.ts'
import { figure, mark, named, type Piece, type Sentence } from '../../../domain/people/voice/sentence.ts'
import { type Heard, joinedWave } from '../../../domain/people/voice/sound/join.ts'
import { type Locale, loadLocale } from '../../web/figures/locale.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { sendSound } from '../../web/sound.ts'
import { isSpoken } from '../../web/words/catalogue.ts'
import { marksKept } from '../mark/shown.ts'
import { listPersons } from '../person/store.ts'
import { recordings, soundsOf } from './store.ts'
import { heardAs, readAs, type Said } from './wording.ts'

/** Seconds of rest after a clip, a comma, a sentence. Own choice, no source. */
const REST_S = { none: 0.04, short: 0.25, long: 0.5 }

type Reading = Pick<Desk, 'db' | 'group' | 'locale'>

/** The same sentences in words, as somebody reads them out. */
export function readOut(desk: Pick<Desk, 'group' | 'locale' | 'format'>, sentences: readonly Sentence[]): string[] {
  const { money } = moneyWords(desk)
  return sentences.map((one) => readAs({ locale: desk.locale, format: desk.format, money }, one))
}

/** A person as the voice calls them by name; null where nobody recorded it. */
export async function nameHeard(desk: Reading, personId: Id<'person'>): Promise<Piece | null> {
  const clips = (await voiceFor(desk))?.clips
  if (!clips?.has(`name-${personId}`)) return null
  const person = (await listPersons(desk.db)).find(({ id }) => id === personId)
  return person ? named(person) : null
}

/**
 * How a plot is called aloud: by the name of a holder where it was recorded, by a mark where its picture or nothing at all was, else by
 * its number. Gives the end of a sentence's name and its pieces.
 */
export async function plotCaller(desk: Reading & Pick<Desk, 'today'>) {
  const { byPerson, holders } = await marksKept(desk.db, desk.today)
  const clips = (await voiceFor(desk))?.clips
  const hasNames = [...(clips?.keys() ?? [])].some((clip) => clip.startsWith('name-'))
  const persons = hasNames ? await listPersons(desk.db) : []
  return (plot: { id: string; number: number }): { by: 'name' | 'mark' | 'plot'; pieces: Record<string, Piece> } => {
    const ids = holders.get(plot.id) ?? []
    const person = persons.find(({ id }) => ids.includes(id) && clips?.has(`name-${id}`))
    if (person) return { by: 'name', pieces: { name: named(person) } }
    const marks = ids.flatMap((personId) => byPerson.get(personId) ?? [])
    const own = marks.find(({ picture }) => !clips || clips.has(`picture-${picture}`))
    return own ? { by: 'mark', pieces: { mark: mark(own) } } : { by: 'plot', pieces: { number: figure(plot.number) } }
  }
}

/** Whether every clip of every sentence was recorded: what would have a gap is not offered as sound. */
export async function canBeHeard(desk: Reading, sentences: readonly Sentence[]): Promise<boolean> {
  return (await heard(desk, sentences)) !== null
}

/** Sends sentences as one sound; 404 where something of it was never recorded. */
export async function sendSpoken(desk: Desk, sentences: readonly Sentence[]) {
  const all = sentences.length > 0 ? await heard(desk, sentences) : null
  if (!all) throw new PageError(404, 'voice.not-recorded')
  const sounds = await soundsOf(
    desk.db,
    all.said.flatMap((one) => ('clip' in one ? all.clips.get(one.clip)! : [])),
  )
  const parts = all.said.flatMap((one): Heard[] =>
    'clip' in one ? [{ clip: sounds.get(one.clip)! }, { restS: REST_S.none }] : [{ restS: REST_S[one.rest] }],
  )
  return sendSound(desk, joinedWave(parts))
}

async function heard(desk: Reading, sentences: readonly Sentence[]) {
  const voice = await voiceFor(desk)
  if (!voice) return null
  const { language, clips } = voice
  const moneyDecimals = currencyExponent(desk.group.currency)
  const speaker = { language, locale: localeOf(desk.locale, language), moneyDecimals }
  const said = sentences.map((one) => heardAs(speaker, one))
  if (said.includes(null)) return null
  const whole = said.flatMap((one) => one ?? [])
  return whole.every((one) => 'rest' in one || clips.has(one.clip)) ? { clips, said: whole as Said[] } : null
}

/** The voice in the visitor's language; where nobody recorded it, the one of which most is recorded. */
async function voiceFor({ db, locale }: Reading) {
  const all = await recordings(db)
  const own = languageOf(locale)
  const [language, clips] = all.has(own)
    ? [own, all.get(own)!]
    : ([...all].toSorted(([, a], [, b]) => b.size - a.size)[0] ?? [])
  return language && clips ? { language, clips } : null
}

/** A tag without its figures: the language that somebody speaks. */
export function languageOf({ language }: Locale): string {
  return new Intl.Locale(language).language
}

/** The order of sentences of a language that has no catalogue is that of the page. */
function localeOf(own: Locale, language: string): Locale {
  return isSpoken(language) ? loadLocale(language) : own
}
