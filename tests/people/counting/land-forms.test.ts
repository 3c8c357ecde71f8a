import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const COUNTED = { area: '', ownArea: '2', ownAreaIn: 'terrace' }
const PACED = { area: '', ownArea: '30 x 10', ownAreaIn: 'paces' }

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor

beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  await chair.fill('/people/settle/measure', { kind: 'area', name: 'terrace', size: '50' })
})

const plotId = async (number: number) =>
  (await valley.db.selectFrom('plot').select('entryId').where('number', '=', number).executeTakeFirstOrThrow()).entryId

/** Sends a form whose question beside a guess by paces is answered with its cross. */
async function sure(path: string, typed: Record<string, string>) {
  const asked = await chair.fill(path, typed)
  expect(asked.words).toMatch(/about 169 m², 127 with a short pace and 217 with a long one/)
  return chair.send(asked, { _sure: asked.html.querySelector('input[name="_sure"]')!.getAttribute('value')! })
}

describe('an area in the group’s own measure or in paces', () => {
  it('is taken for a crop, told beforehand or written in, and stands beside its m²', async () => {
    const crop = { plotId: await plotId(22), cropKey: 'cabbage', sownOn: '2026-11-20' }
    const page = await chair.fill('/crops/new', { ...crop, ...COUNTED })
    expect(page.words).toContain('100 2 × terrace')
    expect((await sure('/crops/new', { ...crop, ...PACED })).words).toContain('169')
    const put = await chair.fill(`${page.path}/correct`, { ...COUNTED, ownArea: '3', reason: 'counted again' })
    expect(put.words).toContain('150 3 × terrace')
    await chair.fill('/crops/new?as=beforehand', {
      ...crop,
      ...COUNTED,
      ownArea: '1.2',
      sownOn: '2026-12-20',
      tranche: '1',
    })
    const kept = await valley.db.selectFrom('cropPlan').select('areaM2').where('sownOn', '=', '2026-12-20').execute()
    expect(kept).toEqual([{ areaM2: 60 }])
  })

  it('is refused where it is more than the plot, beside what was typed, and where no area is', async () => {
    const crop = { plotId: await plotId(22), cropKey: 'cabbage', sownOn: '2026-11-21' }
    const more = await chair.fill('/crops/new', { ...crop, ...COUNTED, ownArea: '60' })
    expect(more.status).toBe(422)
    expect(more.html.querySelector('#ownArea-error')?.text).toContain('m²')
    const none = await chair.fill('/crops/new', { ...crop, area: '' })
    expect(none.html.querySelector('#area-error')?.text).toBeTruthy()
  })

  it('is taken of somebody who asks to join, and of the part of a plot that goes', async () => {
    const joins = await chair.fill('/people/applicants/new', { name: 'Tavi', shares: '1', persons: '4', ...COUNTED })
    expect(joins.words).toContain('100 2 × terrace')
    const split = `/people/plots/${await plotId(23)}/change?as=split`
    const form = await chair.open(split)
    expect(form.words).toMatch(/× terrace/)
    const holderIds = form.html.querySelectorAll('input[name=holderIds]').map((one) => one.getAttribute('value')!)
    const old = await chair.fill(split, {
      ...COUNTED,
      ownArea: '0.2',
      shares: '',
      name: 'half',
      holderIds: holderIds[1]!,
    })
    expect(old.html.querySelectorAll('.error').map((one) => one.text)).toEqual([])
    expect(old.words).toMatch(/10 m²/)
  })

  it('is read from a pasted list by its name', async () => {
    const pasted = 'Name\tWho\tSoil\tWatering\tOutlets\tOr counted\tCounted in\nHigh bank\t5\tM\tF\t1\t4\tterrace'
    await chair.fill('/paper/many/plots', { pasted })
    const { areaM2 } = await valley.db
      .selectFrom('plotDetail')
      .innerJoin('plot', 'plot.entryId', 'plotDetail.plotId')
      .select('areaM2')
      .where('plot.name', '=', 'High bank')
      .executeTakeFirstOrThrow()
    expect(areaM2).toBe(200)
    const twice = 'Plot\tCrop\tArea m²\tSown on\tOr counted\tCounted in\n5\tCabbage\t100\t20/11/2026\t1\tterrace'
    const refused = await chair.fill('/paper/many/crops', { pasted: twice })
    expect(refused.status).toBe(422)
    const crop = 'Plot\tCrop\tSown on\tOr counted\tCounted in\n5\tCabbage\t22/11/2026\t1\tterrace'
    await chair.fill('/paper/many/crops', { pasted: crop })
    const kept = await valley.db.selectFrom('cropPlan').select('areaM2').where('sownOn', '=', '2026-11-22').execute()
    expect(kept).toEqual([{ areaM2: 50 }])
  })
})
