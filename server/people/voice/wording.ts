import { type ClipKey, frameClip, PHRASES, UNITS } from '../../../domain/people/voice/clips.ts'
import { numberClips } from '../../../domain/people/voice/number.ts'
import { saidMinute } from '../../../domain/people/voice/rounding.ts'
import { clip, figure, type Piece, type Sentence, sentence } from '../../../domain/people/voice/sentence.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Locale } from '../../web/figures/locale.ts'
import { markWords } from '../mark/shown.ts'

/** What a place of a sentence is heard as; a comma or the end of a sentence is a rest. */
export type Said = { clip: ClipKey } | { rest: 'short' | 'long' }

/** Nobody types these; between them stands the name of a place. */
const [OPEN, CLOSE] = ['\u{e000}', '\u{e001}']
const PLACES = new RegExp(`${OPEN}(\\w+)${CLOSE}`)

/** Of each language, so that the words of a sentence are not taken apart again for every page that offers it as sound. */
const partsKnown = new WeakMap<Locale, Map<string, readonly string[]>>()

/** The parts of a sentence in the order of a language: odd ones are names of places, even ones what stands between. */
function partsOf(locale: Locale, { say, pieces }: Sentence): readonly string[] {
  const own = Object.keys(pieces)
  const key = [say, ...own].join(' ')
  const ofLocale = partsKnown.get(locale) ?? new Map<string, readonly string[]>()
  partsKnown.set(locale, ofLocale)
  const known = ofLocale.get(key)
  if (known) return known
  const values = Object.fromEntries(
    [...PHRASES, ...UNITS, 'and', ...own].map((name) => [name, `${OPEN}${name}${CLOSE}`]),
  )
  const parts = locale.t(`voice.say.${say}`, values).split(PLACES)
  ofLocale.set(key, parts)
  return parts
}

const pieceOf = ({ pieces }: Sentence, name: string): Piece => pieces[name] ?? clip(name as ClipKey)

interface Reader {
  locale: Locale
  format: Format
  /** An amount of money as pages write it. */
  money: (minor: number) => string
}

/** A sentence as it is read from the page. */
export function readAs(reader: Reader, one: Sentence): string {
  const words = partsOf(reader.locale, one).map((part, at) => (at % 2 ? wordsOf(reader, pieceOf(one, part)) : part))
  const text = words.join('').replaceAll(/ +([.,:])/g, '$1')
  return text.replace(/\p{L}/u, (letter) => letter.toLocaleUpperCase(reader.locale.language))
}

function wordsOf({ locale, format, money }: Reader, piece: Piece): string {
  switch (piece.kind) {
    case 'clip':
      return locale.t(`voice.clip.${piece.clip}`)
    case 'number':
      return format.one(piece.value)
    case 'clock':
      return format.clock(saidMinute(piece.minute))
    case 'day':
      return locale.t(`voice.clip.${dayClip(piece.on)}`)
    case 'mark':
      return markWords(locale.t, piece.mark)
    case 'money':
      return money(piece.minor)
    case 'name':
      return piece.name
  }
}

interface Speaker {
  /** The order of its sentences is that of the language in which the clips were spoken. */
  locale: Locale
  /** The language of the clips (BCP 47). */
  language: string
  /** Decimals of the group's currency. */
  moneyDecimals: number
}

/** A sentence as it is heard, clip by clip; null where a figure of it cannot be said. */
export function heardAs(speaker: Speaker, one: Sentence): Said[] | null {
  const parts = partsOf(speaker.locale, one).map((part, at) =>
    at % 2 ? clipsOf(speaker, pieceOf(one, part)) : restsOf(part),
  )
  return parts.includes(null) ? null : parts.flatMap((own) => own ?? [])
}

function restsOf(between: string): Said[] {
  if (/[.!?]/.test(between)) return [{ rest: 'long' }]
  return /[,:;]/.test(between) ? [{ rest: 'short' }] : []
}

function clipsOf(speaker: Speaker, piece: Piece): Said[] | null {
  switch (piece.kind) {
    case 'clip':
      return [{ clip: piece.clip }]
    case 'number':
      return numberClips(piece.value, speaker.language)?.map((key) => ({ clip: key })) ?? null
    case 'clock':
      return heardAs(speaker, clockSentence(saidMinute(piece.minute)))
    case 'day':
      return [{ clip: dayClip(piece.on) }]
    case 'mark': {
      const frame = frameClip(piece.mark.frame)
      return [{ clip: `picture-${piece.mark.picture}` }, ...(frame ? [{ clip: frame }] : [])]
    }
    case 'money':
      return heardAs(speaker, sumSentence(piece.minor, speaker.moneyDecimals))
    case 'name':
      return [{ clip: `name-${piece.personId}` }]
  }
}

function clockSentence(minute: number): Sentence {
  const hour = clip(`hour${Math.floor(minute / 60) % 24}`)
  const past = minute % 60
  return past === 0 ? sentence('clock', { hour }) : sentence('clock-minutes', { hour, count: figure(past) })
}

function sumSentence(minor: number, decimals: number): Sentence {
  const unit = 10 ** decimals
  const rest = minor % unit
  const count = figure((minor - rest) / unit)
  return rest === 0 ? sentence('sum', { count }) : sentence('sum-small', { count, rest: figure(rest) })
}

function dayClip(on: string): ClipKey {
  return `day${new Date(`${on}T00:00:00Z`).getUTCDay() || 7}`
}
