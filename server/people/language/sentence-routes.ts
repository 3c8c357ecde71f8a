import { isFixed } from '../../book/names/reworded-store.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { catalogueOf, catalogues } from '../../web/words/catalogue.ts'
import { troubleOf } from '../../web/words/message.ts'
import { SentenceForm } from './forms.ts'
import { languagesOf, sayInOwnWords } from './store.ts'

/** So many sentences are shown at once. */
const MOST_FOUND = 20

/** The sentences of a language: found by their words, said better by the committee, and taken out as one file. */
export function addSentencePages({ get, post }: Pages): void {
  get('/people/languages/:tag', 'people.see', showSentences)
  get('/people/languages/:tag/own.json', 'people.see', sendOwn)
  get('/people/languages/:tag/:key', 'words.change', newSentence)
  post('/people/languages/:tag/:key', 'words.change', writeSentence)
  post('/people/languages/:tag/:key/end', 'words.change', takeBack)
}

async function showSentences(desk: Desk<'tag'>) {
  const { tag, name, dir } = spoken(desk)
  const find = desk.query.find?.trim() ?? ''
  const all = await sentencesOf(desk)
  const found = find === '' ? [] : all.filter((one) => hasAll(one, find))
  return page(desk, 'people/language/sentences', {
    title: 'language.sentence.title',
    titleValues: { name },
    spoken: { tag, dir },
    find,
    found: found.slice(0, MOST_FOUND),
    isCut: found.length > MOST_FOUND,
    most: MOST_FOUND,
    own: all.filter(({ isOwn }) => isOwn),
  })
}

interface Sentence {
  key: string
  english: string
  words: string
  isOwn: boolean
}

/** Every sentence as it is said now, beside the English one. */
async function sentencesOf(desk: Desk<'tag'>): Promise<Sentence[]> {
  const { tag, messages } = spoken(desk)
  const own = (await languagesOf(desk.db)).words.get(tag)
  const sayable = [...catalogueOf('en').messages].filter(([key]) => !isFixed(key))
  return sayable.map(([key, english]) => ({
    key,
    english,
    words: own?.get(key) ?? messages.get(key) ?? english,
    isOwn: own?.has(key) ?? false,
  }))
}

function hasAll({ words, english }: Sentence, find: string): boolean {
  const text = `${words} ${english}`.toLowerCase()
  return find
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word))
}

async function sendOwn(desk: Desk<'tag'>) {
  const { tag, name } = spoken(desk)
  const own = [...((await languagesOf(desk.db)).words.get(tag) ?? [])].sort(([a], [b]) => (a < b ? -1 : 1))
  const file = { language: tag, name, sentences: Object.fromEntries(own) }
  desk.reply.header('content-disposition', `attachment; filename="own-words-${tag}.json"`)
  return desk.reply.type('application/json; charset=utf-8').send(`${JSON.stringify(file, null, 2)}\n`)
}

async function newSentence(desk: Desk<'tag' | 'key'>) {
  const sentence = await sentence404(desk)
  return show(desk, sentence, emptyForm({ words: sentence.words }))
}

async function writeSentence(desk: Desk<'tag' | 'key'>) {
  const sentence = await sentence404(desk)
  const form = readForm(SentenceForm, desk.body)
  if (!form.ok) return show(desk, sentence, form)
  const { tag } = spoken(desk)
  const { words } = form.data
  const trouble = troubleOf(words, { english: sentence.english, language: tag })
  if (trouble) return show(desk, sentence, withError(form, 'words', trouble.key, trouble.values))
  return say(desk, words)
}

async function takeBack(desk: Desk<'tag' | 'key'>) {
  await sentence404(desk)
  return say(desk, null)
}

function say(desk: Desk<'tag' | 'key'>, words: string | null) {
  const { tag, key } = desk.params
  return write(
    desk,
    (pen) => sayInOwnWords(pen, { language: tag, key, words }),
    () => `/people/languages/${tag}`,
  )
}

function spoken({ params: { tag } }: Desk<'tag'>) {
  const known = catalogues().find((one) => one.tag === tag)
  if (!known) throw new PageError(404, 'error.page-404')
  return known
}

async function sentence404(desk: Desk<'tag' | 'key'>): Promise<Sentence> {
  const known = (await sentencesOf(desk)).find(({ key }) => key === desk.params.key)
  if (!known) throw new PageError(404, 'error.page-404')
  return known
}

function show(desk: Desk<'tag' | 'key'>, { key, english }: Sentence, filled: Filled) {
  const { tag, messages } = spoken(desk)
  const books = messages.get(key)
  return formPage(desk, {
    title: 'language.sentence.form-title',
    form: SentenceForm,
    filled,
    action: `/people/languages/${tag}/${key}`,
    intro: ['language.sentence.form-intro'],
    notes: [
      desk.t('language.sentence.english', { words: english }),
      ...(tag === 'en' || books === undefined ? [] : [desk.t('language.sentence.catalogue', { words: books })]),
    ],
    back: `/people/languages/${tag}`,
  })
}
