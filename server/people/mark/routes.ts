import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { isPicture, PICTURES, type PictureKey } from '../../../domain/people/mark/pictures.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError, withInputError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import type { Person } from '../person/store.ts'
import { oneselfOrAnybody } from '../person/whose.ts'
import { MarkForm, StruckForm } from './forms.ts'
import { framesOf, picturesFor, sheetPictures } from './pages.ts'
import { chooseMark, strikePictures, struckPictures } from './store.ts'

/** A mark for whoever wants one: chosen by the person, or written in by the committee with how it was asked for. */
export function addMarkPages({ get, post }: Pages): void {
  get('/people/:id/mark', 'people.see', showPictures)
  get('/people/:id/mark/:picture', 'people.see', showFrames)
  post('/people/:id/mark', 'people.see', writeMark)
  post('/people/:id/mark/end', 'people.see', giveUpMark)
  get('/people/marks', 'people.see', showSheet)
  get('/people/settle/marks', 'people.register', newStruck)
  post('/people/settle/marks', 'people.register', writeStruck)
}

async function showPictures(desk: Desk<'id'>) {
  const person = await oneselfOrAnybody(desk)
  return page(desk, 'people/mark/pictures', {
    title: 'mark.title',
    wearer: { id: person.id, number: person.number, name: person.name, isSelf: person.id === desk.person.id },
    pictures: await picturesFor(desk, person.id),
  })
}

async function showFrames(desk: Desk<'id' | 'picture'>) {
  const person = await oneselfOrAnybody(desk)
  const { picture } = desk.params
  if (!isPicture(picture)) throw new PageError(404, 'error.page-404')
  return frames(desk, person, picture, emptyForm())
}

async function writeMark(desk: Desk<'id'>) {
  const person = await oneselfOrAnybody(desk)
  const form = readForm(MarkForm, desk.body)
  const picture = String(form.values.picture)
  if (!isPicture(picture)) throw new PageError(404, 'error.page-404')
  if (!form.ok) return frames(desk, person, picture, form)
  const { frame, asked } = form.data
  const isSelf = person.id === desk.person.id
  if (!isSelf && !asked) return frames(desk, person, picture, withError(form, 'asked', 'error.choose'))
  try {
    return await choose(desk, person.id, { mark: { picture, frame }, asked: isSelf ? null : asked })
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return frames(desk, person, picture, withInputError(form, 'frame', error))
  }
}

async function giveUpMark(desk: Desk<'id'>) {
  const person = await oneselfOrAnybody(desk)
  return choose(desk, person.id, { mark: null, asked: null })
}

function choose(desk: Desk, personId: Id<'person'>, chosen: Pick<Parameters<typeof chooseMark>[1], 'mark' | 'asked'>) {
  return write(
    desk,
    (pen) =>
      chooseMark(pen, {
        personId,
        fromOn: desk.today,
        season: desk.group,
        putRight: desk.t('mark.put-right'),
        ...chosen,
      }),
    () => `/people/${personId}`,
  )
}

async function frames(desk: Desk, person: Person, picture: PictureKey, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const shown = await framesOf(desk, person.id, picture)
  return page(desk, 'people/mark/frames', {
    title: 'mark.frames-title',
    titleValues: { picture: desk.t(`mark.picture.${picture}`) },
    wearer: { id: person.id, number: person.number, name: person.name, isSelf: person.id === desk.person.id },
    picture,
    frames: shown,
    firstFree: shown.find(({ isFree }) => isFree)?.frame ?? null,
    form: MarkForm,
    filled,
  })
}

async function showSheet(desk: Desk) {
  return page(desk, 'people/mark/sheet', { title: 'mark.sheet-title', ...(await sheetPictures(desk)) })
}

async function newStruck(desk: Desk) {
  return showStruck(desk, [...(await struckPictures(desk.db))])
}

async function writeStruck(desk: Desk) {
  const form = readForm(StruckForm, desk.body)
  if (!form.ok) return showStruck(desk, [])
  return write(
    desk,
    (pen) => strikePictures(pen, form.data.pictures.filter(isPicture)),
    () => '/people/marks',
  )
}

function showStruck(desk: Desk, struck: readonly string[]) {
  return page(desk, 'people/mark/struck', {
    title: 'mark.struck-title',
    pictures: PICTURES.map(({ key, place, paths }) => ({
      key,
      place: place.bare,
      paths,
      isStruck: struck.includes(key),
    })),
  })
}
