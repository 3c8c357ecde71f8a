import { CLIPS, type ClipKey, type PictureClip } from '../../../domain/people/voice/clips.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { inUse } from '../mark/shown.ts'
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
  const pictures = (await inUse(desk.db, desk.today)).map((picture): PictureClip => `picture-${picture}`)
  const groups: [string, readonly ClipKey[]][] = [...Object.entries(CLIPS), ['pictures', pictures]]
  return groups.map(([name, clips]) => {
    const lines = clips.map((clip) => ({ clip, words: clipWords(desk, clip), recorded: known?.get(clip) ?? null }))
    return { name, lines, missing: lines.filter(({ recorded }) => !recorded).length }
  })
}

/** What somebody says for a clip. */
export function clipWords({ t }: Pick<Desk, 't'>, clip: ClipKey): string {
  const picture = /^picture-(.+)$/.exec(clip)?.[1]
  return picture ? t(`mark.picture.${picture}`) : t(`voice.clip.${clip}`)
}

/** The first clip after one that nobody recorded yet; from the start again at the end. Null where nothing is missing. */
export function nextMissing(groups: readonly ClipGroup[], after: ClipKey): ClipKey | null {
  const lines = groups.flatMap((own) => own.lines)
  const at = lines.findIndex(({ clip }) => clip === after)
  const missing = [...lines.slice(at + 1), ...lines.slice(0, Math.max(0, at))].find(({ recorded }) => !recorded)
  return missing?.clip ?? null
}
