import { type StageDays, seasonLengthDays } from '../../../domain/crops/crop/stages.ts'
import { CROPS, type Crop } from '../../../domain/crops/data/crops.ts'
import { STAGE_LENGTHS } from '../../../domain/crops/data/stage-lengths.ts'
import { write } from '../../book/pen.ts'
import { date, number, optional, text, tick, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, type ReadForm, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { addCropVersion, cropBook } from './store.ts'
import { cropNamer } from './words.ts'

const kc = () => number({ min: 0.05, max: 1.6 }, 'crop coefficient')
const days = () => whole({ min: 0, max: 400 }, 'days of a stage')

/** Bounds: what FAO-56 (1998), Tables 11, 12 and 22 print, with room on both sides. */
const OwnCropForm = defineForm('crop.own-crop', {
  name: text({ max: 60 }),
  kcIni: kc(),
  kcMid: kc(),
  kcEnd: kc(),
  iniDays: days(),
  devDays: days(),
  midDays: days(),
  lateDays: days(),
  rootDepth: number({ min: 0.1, max: 3 }, 'depth of roots, m'),
  depletionFraction: number({ min: 0.1, max: 0.8 }),
  height: number({ min: 0.05, max: 12 }, 'height of a crop, m'),
  yieldResponse: optional(number({ min: 0.1, max: 2 })),
  perennial: tick(),
  words: text({ max: 200 }),
  fromOn: date(),
})

/** The published table and the group's own crops; a change of figures is a new version with its day. */
export function addCropPages({ get, post }: Pages): void {
  get('/crops/list', 'crops.see', listCrops)
  get('/crops/list/new', 'crops.declare', newCrop)
  get('/crops/working/crop/:key', 'crops.see', showCrop)
  post('/crops/list/new', 'crops.declare', writeCrop)
  get('/crops/list/:key', 'crops.declare', newVersion)
  post('/crops/list/:key', 'crops.declare', writeVersion)
}

async function listCrops(desk: Desk) {
  const cropName = cropNamer(desk.locale)
  const book = await cropBook(desk.db)
  const crops = book.on(desk.today).sort((a, b) => cropName(a).localeCompare(cropName(b)))
  return page(desk, 'crops/crop-list', {
    title: 'crop.list.title',
    crops,
    cropName,
    versions: book.versions.toReversed(),
  })
}

/** One crop with its printed stage lengths by climate, each a beginning for figures of the group's own. */
async function showCrop(desk: Desk<'key'>) {
  const crop = await cropOr404(desk)
  return page(desk, 'crops/crop', {
    title: 'crop.title',
    titleValues: { crop: cropNamer(desk.locale)(crop) },
    crop,
    lengths: lengthsOf(crop),
  })
}

/** Every printed row of stage lengths, with its place in the list. */
function lengthsOf(crop: Crop) {
  return STAGE_LENGTHS.filter((row) => row.cropKey === crop.key).map((row, at) => ({
    ...row,
    at,
    days: seasonLengthDays(row.stageDays),
  }))
}

/** A crop like one of the book begins with its figures, under a name and a source of its own. */
async function newCrop(desk: Desk) {
  const like = (await cropBook(desk.db)).on(desk.today).find((crop) => crop.key === desk.query.like)
  if (!like) return show(desk, null, emptyForm({ fromOn: desk.today }))
  const words = desk.t('crop.own-crop.like-words', { crop: cropNamer(desk.locale)(like) })
  return show(desk, null, emptyForm({ ...typed(like, desk), name: '', words }))
}

async function writeCrop(desk: Desk) {
  const form = checked(readForm(OwnCropForm, desk.body))
  if (!form.ok) return show(desk, null, form)
  return write(desk, (pen) => addCropVersion(pen, versionOf(form.data, null)), listPage)
}

async function newVersion(desk: Desk<'key'>) {
  const crop = await cropOr404(desk)
  const row = lengthsOf(crop)[Number(desk.query.stages)]
  if (!row) return show(desk, crop, emptyForm(typed(crop, desk)))
  const words = desk.t('crop.row-words', { region: row.region, around: row.plantedAround })
  return show(desk, crop, emptyForm({ ...typed({ ...crop, stageDays: row.stageDays }, desk), words }))
}

async function writeVersion(desk: Desk<'key'>) {
  const crop = await cropOr404(desk)
  const form = checked(readForm(OwnCropForm, desk.body))
  if (!form.ok) return show(desk, crop, form)
  const version = versionOf(form.data, crop.key)
  return write(desk, (pen) => addCropVersion(pen, version), listPage)
}

async function cropOr404(desk: Desk<'key'>): Promise<Crop> {
  const { key } = desk.params
  return found((await cropBook(desk.db)).on(desk.today).find((crop) => crop.key === key))
}

type OwnCropData = NonNullable<ReturnType<typeof readOwn>['data']>

const readOwn = (body: unknown) => readForm(OwnCropForm, body)

const listPage = () => '/crops/list'

/** At least one stage must last, and a full-grown crop uses no less than at the start, but for one that is printed so. */
function checked(form: ReadForm<OwnCropData>): ReadForm<OwnCropData> {
  if (!form.ok) return form
  const { iniDays, devDays, midDays, lateDays, kcIni, kcMid } = form.data
  if (iniDays + devDays + midDays + lateDays === 0) return withError(form, 'iniDays', 'planting.wrong.no-stage')
  const isPrinted = CROPS.some((crop) => crop.kcIni === kcIni && crop.kcMid === kcMid)
  if (kcMid < kcIni && !isPrinted) return withError(form, 'kcMid', 'planting.wrong.mid-below-start')
  return form
}

function versionOf(data: OwnCropData, cropKey: string | null) {
  const { iniDays, devDays, midDays, lateDays, rootDepth, height, ...rest } = data
  const stageDays: StageDays = [iniDays, devDays, midDays, lateDays]
  return { ...rest, cropKey, stageDays, rootDepthM: rootDepth, heightM: height }
}

function typed(crop: Crop, desk: Desk): Record<string, string> {
  const [ini, dev, mid, late] = crop.stageDays ?? ['', '', '', '']
  const { kcIni, kcMid, kcEnd, depletionFraction } = crop
  const figures = { kcIni, kcMid, kcEnd, depletionFraction, rootDepth: crop.rootDepthMinM, height: crop.heightMaxM }
  const stages = { iniDays: ini, devDays: dev, midDays: mid, lateDays: late, yieldResponse: crop.yieldResponse ?? '' }
  const written = Object.entries({ ...figures, ...stages }).map(([name, value]) => [name, String(value)])
  return {
    ...Object.fromEntries(written),
    name: cropNamer(desk.locale)(crop),
    perennial: crop.perennial ? 'yes' : '',
    words: crop.source,
    fromOn: desk.today,
  }
}

function show(desk: Desk, crop: Crop | null, filled: Filled) {
  const place = crop ? `/crops/list/${crop.key}` : '/crops/list/new'
  return formPage(desk, {
    title: crop ? 'crop.own-crop.version' : 'crop.own-crop.title',
    ...(crop ? { titleValues: { crop: cropNamer(desk.locale)(crop) } } : {}),
    intro: [crop ? 'crop.own-crop.version-intro' : 'crop.own-crop.intro'],
    form: OwnCropForm,
    filled,
    action: place,
    back: '/crops/list',
  })
}
