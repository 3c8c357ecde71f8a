import { CLIPS, type ClipKey, type NameClip, type PictureClip } from '../../../domain/people/voice/clips.ts'
import { sum } from '../../../domain/sum.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { inUse } from '../mark/shown.ts'
import { listPersons } from '../person/store.ts'
import { holderIdsOn } from '../plot/store.ts'
import { languageOf } from './state.ts'
import { recordings } from './store.ts'

interface ClipLine {
  clip: ClipKey
  /** What is to be said. */
  words: string
  /** Null while nobody recorded it. */
  recorded: { by: string; at: string } | null
}

interface ClipGroup {
  name: string
  lines: ClipLine[]
  missing: number
  /** Names are said of whoever wants it: nothing is missing where they are not there. */
  isOptional: boolean
}

/** The language of the voice that is looked at: asked for by its tag, or the visitor's own. */
export function languageAsked({ query, locale }: Pick<Desk, 'query' | 'locale'>): string {
  return canonical(query.language ?? '') ?? languageOf(locale)
}

/** A tag of BCP 47 in its usual writing; null for what is none. */
export function canonical(tag: string): string | null {
  try {
    return new Intl.Locale(tag.trim()).language || null
  } catch {
    return null
  }
}

/** How a language is called in the visitor's; by its tag where that is not known. */
export function languageName({ locale }: Pick<Desk, 'locale'>, language: string): string {
  return new Intl.DisplayNames([locale.language], { type: 'language' }).of(language) ?? language
}

/** Everything that is to be recorded in a language, with what is: the sentences' clips, then the pictures that somebody goes by. */
export async function clipGroups(desk: Desk, language: string): Promise<ClipGroup[]> {
  const known = (await recordings(desk.db)).get(language)
  const { db, today, t } = desk
  const group = (name: string, said: [ClipKey, string][], isOptional = false): ClipGroup => {
    const lines = said.map(([clip, words]) => ({ clip, words, recorded: known?.get(clip) ?? null }))
    return { name, lines, missing: lines.filter(({ recorded }) => !recorded).length, isOptional }
  }
  const pictures = (await inUse(db, today)).map((one): [PictureClip, string] => [
    `picture-${one}`,
    t(`mark.picture.${one}`),
  ])
  const holding = new Set([...(await holderIdsOn(db, today)).values()].flat())
  const persons = (await listPersons(db)).filter(({ id }) => holding.has(id))
  return [
    ...Object.entries(CLIPS).map(([name, clips]) =>
      group(
        name,
        clips.map((clip) => [clip, t(`voice.clip.${clip}`)]),
      ),
    ),
    group('pictures', pictures),
    group(
      'names',
      persons.map(({ id, name }): [NameClip, string] => [`name-${id}`, name]),
      true,
    ),
  ]
}

/** How many clips there are and are missing, names apart. */
export function countOf(groups: readonly ClipGroup[]): { all: number; missing: number } {
  const needed = groups.filter(({ isOptional }) => !isOptional)
  return { all: sum(needed, ({ lines }) => lines.length), missing: sum(needed, ({ missing }) => missing) }
}

/** The first clip after one that nobody recorded yet, of names among names; from the start again at the end. Null where nothing is missing. */
export function nextMissing(groups: readonly ClipGroup[], after: ClipKey): ClipKey | null {
  const ofNames = groups.some(({ isOptional, lines }) => isOptional && lines.some(({ clip }) => clip === after))
  const lines = groups.filter(({ isOptional }) => isOptional === ofNames).flatMap((own) => own.lines)
  const at = lines.findIndex(({ clip }) => clip === after)
  const missing = [...lines.slice(at + 1), ...lines.slice(0, Math.max(0, at))].find(({ recorded }) => !recorded)
  return missing?.clip ?? null
}
