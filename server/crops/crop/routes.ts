import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Crop, StageDays } from '../../../domain/crops/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { date, number, optional, text, tick, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, type ReadForm, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { addCropVersion, cropBook } from './store.ts'
import { cropNamer } from './words.ts'

const kc = () => number({ min: 0.05, max: 1.6 })
const days = () => whole({ min: 0, max: 400 })

/** Bounds: what FAO-56 (1998), Tables 11, 12 and 22 print, with room on both sides. */
const OwnCropForm = defineForm('planting.own-crop', {
  name: text({ max: 60 }),
  kcIni: kc(),
  kcMid: kc(),
  kcEnd: kc(),
  iniDays: days(),
  devDays: days(),
  midDays: days(),
  lateDays: days(),
  rootDepth: number({ min: 0.1, max: 3 }),
  depletionFraction: number({ min: 0.1, max: 0.8 }),
  height: number({ min: 0.05, max: 12 }),
  yieldResponse: optional(number({ min: 0.1, max: 2 })),
  perennial: tick(),
  words: text({ max: 200 }),
  fromOn: date(),
})

const SET = { preHandler: may('crops.declare') }
type WithKey = { Params: { key: string } }

/** The published table and the group's own crops; a change of figures is a new version with its day. */
export function addCropRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/list', { preHandler: may('crops.see') }, async (request, reply) => {
    const cropName = cropNamer(request.visit.locale)
    const book = await cropBook(db)
    const crops = book.on(request.visit.today).sort((a, b) => cropName(a).localeCompare(cropName(b)))
    return page({ request, reply }, 'crops/crop-list', {
      title: 'planting.crop-list.title',
      ...{ crops, cropName, versions: book.versions.toReversed() },
    })
  })

  app.get('/list/new', SET, async (request, reply) =>
    show(request, reply, null, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/list', SET, async (request, reply) => {
    const form = checked(readForm(OwnCropForm, request.body))
    if (!form.ok) return show(request, reply, null, form)
    return write({ db, request, reply, at: now() }, (pen) => addCropVersion(pen, versionOf(form.data, null)), listPage)
  })

  app.get<WithKey>('/list/:key/versions/new', SET, async (request, reply) => {
    const crop = await cropOr404(request)
    return show(request, reply, crop, emptyForm(typed(crop, request)))
  })

  app.post<WithKey>('/list/:key/versions', SET, async (request, reply) => {
    const crop = await cropOr404(request)
    const form = checked(readForm(OwnCropForm, request.body))
    if (!form.ok) return show(request, reply, crop, form)
    const version = versionOf(form.data, crop.key)
    return write({ db, request, reply, at: now() }, (pen) => addCropVersion(pen, version), listPage)
  })

  async function cropOr404(request: FastifyRequest): Promise<Crop> {
    const { key } = request.params as { key: string }
    return found((await cropBook(db)).on(request.visit.today).find((crop) => crop.key === key))
  }
}

type OwnCropData = NonNullable<ReturnType<typeof readOwn>['data']>
const readOwn = (body: unknown) => readForm(OwnCropForm, body)

const listPage = () => '/crops/list'

/** At least one stage must last, and a full-grown crop uses no less than at the start. */
function checked(form: ReadForm<OwnCropData>): ReadForm<OwnCropData> {
  if (!form.ok) return form
  const { iniDays, devDays, midDays, lateDays, kcIni, kcMid } = form.data
  if (iniDays + devDays + midDays + lateDays === 0) return withError(form, 'iniDays', 'planting.wrong.no-stage')
  if (kcMid < kcIni) return withError(form, 'kcMid', 'planting.wrong.mid-below-start')
  return form
}

function versionOf(data: OwnCropData, cropKey: string | null) {
  const { iniDays, devDays, midDays, lateDays, rootDepth, height, ...rest } = data
  const stageDays: StageDays = [iniDays, devDays, midDays, lateDays]
  return { ...rest, cropKey, stageDays, rootDepthM: rootDepth, heightM: height }
}

function typed(crop: Crop, request: FastifyRequest): Record<string, string> {
  const [ini, dev, mid, late] = crop.stageDays ?? ['', '', '', '']
  const { kcIni, kcMid, kcEnd, depletionFraction } = crop
  const figures = { kcIni, kcMid, kcEnd, depletionFraction, rootDepth: crop.rootDepthMinM, height: crop.heightMaxM }
  const stages = { iniDays: ini, devDays: dev, midDays: mid, lateDays: late, yieldResponse: crop.yieldResponse ?? '' }
  const written = Object.entries({ ...figures, ...stages }).map(([name, value]) => [name, String(value)])
  return {
    ...Object.fromEntries(written),
    name: cropNamer(request.visit.locale)(crop),
    perennial: crop.perennial ? 'yes' : '',
    words: crop.source,
    fromOn: request.visit.today,
  }
}

function show(request: FastifyRequest, reply: FastifyReply, crop: Crop | null, filled: Filled) {
  const place = crop ? `/crops/list/${crop.key}/versions` : '/crops/list'
  return formPage(
    { request, reply },
    {
      title: crop ? 'planting.own-crop.version' : 'planting.own-crop.title',
      ...(crop ? { titleValues: { crop: cropNamer(request.visit.locale)(crop) } } : {}),
      intro: [crop ? 'planting.own-crop.version-intro' : 'planting.own-crop.intro'],
      form: OwnCropForm,
      filled,
      action: place,
      back: '/crops/list',
    },
  )
}
