import { InputError } from '../../../domain/input-error.ts'
import type { ClipKey } from '../../../domain/people/voice/clips.ts'
import { waveOf } from '../../../domain/people/voice/sound/wave-write.ts'
import { write } from '../../book/pen.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { sendSound } from '../../web/sound.ts'
import { clipFromFile } from './decoding/elsewhere.ts'
import { canonical, clipGroups, countOf, languageAsked, languageName, nextMissing } from './pages.ts'
import { recordClips, recordings, soundsOf } from './store.ts'

/** The book's voice: what is to be said, what is missing, each clip recorded with the phone's own recorder, heard and replaced. */
export function addVoicePages({ get, post }: Pages): void {
  get('/people/voice', 'people.see', showVoice)
  get('/people/voice?as=sheet', 'people.see', showSheet)
  get('/people/voice/:language/:clip.wav', 'people.see', sendClip)
  get('/people/voice/:language/:clip', 'voice.record', newClip)
  post('/people/voice/:language/:clip', 'voice.record', writeClip)
}

async function showVoice(desk: Desk) {
  return page(desk, 'people/voice/list', { title: 'voice.title', ...(await voiceShown(desk, languageAsked(desk))) })
}

async function showSheet(desk: Desk) {
  return page(desk, 'people/voice/sheet', { title: 'voice.title', ...(await voiceShown(desk, languageAsked(desk))) })
}

async function voiceShown(desk: Desk, language: string) {
  const groups = await clipGroups(desk, language)
  const first = groups
    .filter(({ isOptional }) => !isOptional)
    .flatMap(({ lines }) => lines)
    .find(({ recorded }) => !recorded)
  const spoken = [...(await recordings(desk.db)).keys()].filter((one) => one !== language)
  return {
    voice: { language, name: languageName(desk, language) },
    others: spoken.map((one) => ({ language: one, name: languageName(desk, one) })),
    groups,
    count: countOf(groups),
    firstMissing: first?.clip ?? null,
  }
}

async function sendClip(desk: Desk<'language' | 'clip'>) {
  const { language, clip } = desk.params
  const recorded = found((await recordings(desk.db)).get(language)?.get(clip as ClipKey))
  const sounds = await soundsOf(desk.db, [recorded])
  return sendSound(desk, waveOf(found(sounds.get(recorded.clip))))
}

async function newClip(desk: Desk<'language' | 'clip'>) {
  return showClip(desk, null)
}

async function writeClip(desk: Desk<'language' | 'clip'>) {
  const { language, groups, line } = await askedClip(desk)
  const file = ((desk.body ?? {}) as Record<string, unknown>).sound
  if (!Buffer.isBuffer(file) || file.length === 0) return showClip(desk, new InputError('file-missing'))
  let sound: Buffer
  try {
    sound = await clipFromFile(file)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return showClip(desk, error)
  }
  const next = nextMissing(groups, line.clip)
  return write(
    desk,
    (pen) => recordClips(pen, language, [{ clip: line.clip, sound }]),
    () => (next ? `/people/voice/${language}/${next}?heard=${line.clip}` : `/people/voice?language=${language}`),
  )
}

/** A clip that the book knows, in a language that there is. */
async function askedClip(desk: Desk<'language' | 'clip'>) {
  const language = canonical(desk.params.language)
  if (language !== desk.params.language) throw new PageError(404, 'error.page-404')
  const groups = await clipGroups(desk, language)
  const line = groups.flatMap(({ lines }) => lines).find(({ clip }) => clip === desk.params.clip)
  return { language, groups, line: found(line) }
}

async function showClip(desk: Desk<'language' | 'clip'>, error: InputError | null) {
  const { language, groups, line } = await askedClip(desk)
  if (error) desk.reply.code(422)
  const before = groups
    .flatMap(({ lines }) => lines)
    .find(({ clip, recorded }) => recorded && clip === desk.query.heard)
  return page(desk, 'people/voice/clip', {
    title: 'voice.clip-title',
    titleValues: { words: line.words },
    voice: { language, name: languageName(desk, language) },
    line,
    before: before ?? null,
    error: error && { key: `error.${error.code}`, values: error.values },
    missing: countOf(groups).missing,
  })
}
