import { gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { addPerson } from '../../../server/people/person/store.ts'
import { addPlot, listPlots } from '../../../server/people/plot/store.ts'
import { numbersOf, withIds, withNumbers } from '../../../server/web/forms/numbers.ts'
import { addOutlet, listPumps } from '../../../server/works/pump/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const numbers = async () =>
  numbersOf({
    plot: [
      { id: 'plota', number: 1 },
      { id: 'plotb', number: 2 },
      { id: 'plotc', number: 2 },
    ],
    outlet: [{ id: 'outleta', number: 1 }],
  })
const choice = (count: number) => ['plota', 'plotb', ...Array(count - 2).fill('other')].map((value) => ({ value }))

describe('what a choice of many things sends', () => {
  it('is the number in place of the id, from 121 things on', async () => {
    const few = { plotId: choice(120), other: choice(300) }
    expect(await withNumbers(few, numbers)).toBe(few)
    const { plotId, unit } = await withNumbers({ plotId: choice(121), unit: choice(2) }, numbers)
    expect(plotId!.slice(0, 3)).toEqual([
      { value: 'plota', sent: 'plot#1' },
      // A number that stands twice after books were joined names neither.
      { value: 'plotb', sent: 'plotb' },
      { value: 'other', sent: 'other' },
    ])
    expect(unit).toEqual(choice(2))
  })

  it('is read as the id again, in fields that name things alone', async () => {
    const body = { plotId: 'plot#1', outletIds: ['outlet#1', 'outleta'], place: 'outlet:outlet#1', note: 'plot#1' }
    expect(await withIds(body, numbers)).toEqual({
      plotId: 'plota',
      outletIds: ['outleta', 'outleta'],
      place: 'outlet:outleta',
      note: 'plot#1',
    })
    expect(await withIds({ plotId: 'plot#2', byId: 'plot#77' }, numbers)).toEqual({ plotId: 'plot#2', byId: 'plot#77' })
    const plain = { plotId: 'plota', note: 'plot#1' }
    expect(await withIds(plain, numbers)).toBe(plain)
    expect(await withIds(undefined, numbers)).toBeUndefined()
  })
})

const MORE = 300
const NEW = { phone: null, signInName: null, roles: ['member'], passwordHash: null }
const GROUND = { areaM2: 100, soil: 'sand', method: 'furrow', shares: 1, fromOn: VALLEY_TODAY }
const PATHS = [
  '/people/plots/new',
  '/people/complaints/new',
  '/turns/ask',
  '/turns/ask?as=free',
  '/log/water?use=irrigation',
  '/log/water?use=drinking&method=bucket',
]

/** The valley with three hundred more people, each with a plot and an outlet of its own. */
async function wideValley() {
  const valley = await openValley()
  const [pump] = await listPumps(valley.db, VALLEY_TODAY)
  const [plot] = await listPlots(valley.db, VALLEY_TODAY)
  const pen = { writtenBy: plot!.holders[0]!.id, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
  await valley.db.transaction().execute(async (trx) => {
    for (let number = 501; number <= 500 + MORE; number++) {
      const name = `Newcomer of house ${number}`
      const holder = await addPerson({ trx, ...pen }, { ...NEW, number, name }, VALLEY_TODAY)
      const outlet = await addOutlet({ trx, ...pen }, { number, name: `valve ${number}`, pumpId: pump!.id })
      const more = { ...GROUND, number, name: `terrace ${number}`, outletIds: [outlet], holderIds: [holder] }
      await addPlot({ trx, ...pen }, more)
    }
  })
  return valley
}

it('forms of a book of three hundred households keep within 14 kB, and name the plot that was chosen', async () => {
  const { db, signIn } = await wideValley()
  const amaru = await signIn('amaru')
  for (const path of PATHS) {
    const page = await amaru.open(path)
    expect([page.status, path]).toEqual([200, path])
    expect([path, gzipSync(page.text).length]).toEqual([path, expect.toSatisfy((bytes: number) => bytes <= 14_000)])
  }
  const form = await amaru.open('/people/complaints/new')
  const sentFor = (field: string, words: string) =>
    form.html
      .querySelectorAll(`#${field} option`)
      .find((option) => option.text.trim() === words)!
      .getAttribute('value')!
  const plotId = sentFor('plotId', '702 terrace 702')
  const about = {
    aboutId: sentFor('aboutId', '777 Newcomer of house 777'),
    words: 'The gate stands open.',
    saidOn: VALLEY_TODAY,
  }
  // A number of no plot is refused in words, and what was chosen beside it stays.
  const refused = await amaru.send(form, { ...about, plotId: plotId.replace('702', '4711') })
  expect(refused.status).toBe(422)
  expect(refused.html.querySelector('#aboutId [selected]')?.text.trim()).toBe('777 Newcomer of house 777')
  await amaru.send(refused, { ...about, plotId })
  const complaint = await db.selectFrom('complaint').selectAll().orderBy('entryId').execute()
  const plot = await db.selectFrom('plot').select('entryId').where('number', '=', 702).executeTakeFirstOrThrow()
  const person = await db.selectFrom('person').select('entryId').where('number', '=', 777).executeTakeFirstOrThrow()
  expect(complaint.filter((one) => one.plotId === plot.entryId && one.aboutId === person.entryId)).toHaveLength(1)
})
