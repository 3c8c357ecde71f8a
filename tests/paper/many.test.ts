import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { listPersons, rolesOf } from '../../server/people/person/store.ts'
import { listPlots } from '../../server/people/plot/store.ts'
import { listSurveys } from '../../server/water/sand/description-store.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { listOutlets } from '../../server/works/pump/store.ts'
import { TODAY } from '../abstractions/book.ts'
import { startedBook } from '../support/book.ts'
import type { Visitor } from '../support/visitor.ts'

const WEIRS = `No.\tName\tAlong the stream, m\tDepth, m\tWidth, m\tSlope, %\tShape\tSand
1\tFig tree\t0\t2\t12\t2\tB\tC
2\tTwo rocks\t400\t1,5\t10\t\tdish\tmedium sand`

async function paste(visitor: Visitor, list: string, pasted: string) {
  return visitor.fill(`/paper/many/${list}`, { pasted })
}

/** A book with two weirs, and a pump on the first. */
async function bookWithWorks() {
  const book = await startedBook(`${TODAY}T05:00:00Z`)
  await paste(book.ada, 'weirs', WEIRS)
  const weirId = (await book.db.selectFrom('weir').select('entryId').where('number', '=', 1).executeTakeFirstOrThrow())
    .entryId
  await book.ada.fill('/works/pumps/new', { name: 'Lower', weirId, usualFlow: '4' })
  return book
}

const households = Array.from({ length: 61 }, (_, at) => `Household ${at + 2}\t07${at}`)
/** The first was never tested. */
const outlets = Array.from({ length: 40 }, (_, at) => `${at + 1};Stand ${at + 1};1;${at === 0 ? ';' : '200;180'}`)
const plots = Array.from({ length: 70 }, (_, at) => {
  const who = (at % 62) + 1
  // Held by two, of whom a careless hand wrote one twice.
  return `${at + 1},Terrace ${at + 1},"${who}, ${(who % 62) + 1} ${who}",20 x 15,M,F,1,${(at % 40) + 1}`
})

describe('writing in many', () => {
  it('takes 62 households, 40 outlets, 70 plots and their crops in one sending each, in any form a spreadsheet gives', async () => {
    const { ada, db } = await bookWithWorks()
    const people = await paste(ada, 'people', `Name\tPhone\n${households.join('\n')}`)
    expect(people.words).toContain('61 lines are in the book now')
    const works = await paste(ada, 'outlets', outlets.join('\n'))
    expect(works.words).toContain('40 lines are in the book now')
    const ground = await paste(ada, 'plots', plots.join('\n'))
    expect(ground.words).toContain('70 lines are in the book now')
    const maize = plots.map((_, at) => `Maize, grain\t${at + 1}\t10 x 10\t1/7/2026`)
    const sown = await paste(ada, 'crops', `Crop\tPlot\tArea, m²\tSown on\n${maize.join('\n')}`)
    expect(sown.words).toContain('70 lines are in the book now')
    const persons = await listPersons(db)
    expect(persons).toHaveLength(62)
    expect(await rolesOf(db, persons[5]!.id, TODAY)).toEqual(['member'])
    const [first, second] = await listOutlets(db, TODAY)
    // 200 litres in 180 seconds are 4 m3 an hour; the first has no test.
    expect([first!.flowM3PerH, second!.flowM3PerH]).toEqual([null, expect.closeTo(4, 9)])
    const written = await listPlots(db, TODAY)
    expect(written).toHaveLength(70)
    expect(written[4]).toMatchObject({ areaM2: 300, soil: 'loam', method: 'surface' })
    expect(written[4]!.holders.map(({ number }) => number)).toEqual([5, 6])
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('keeps good lines, gives bad ones back as they were typed with their sentence, and doubles nothing when it comes again', async () => {
    const { ada, db } = await bookWithWorks()
    const page = await ada.open('/paper/many/plots')
    const lines = ['1,River,1,20 x 15,loam,F,,', '2,Hill,9,300,loam,F,,', '3,Well,1,a lot,mud,F,,'].join('\n')
    await paste(ada, 'outlets', '1,Stand 1,1,200,180')
    const withOutlet = lines.replaceAll(',,', ',1,1')
    for (const answer of [await ada.send(page, { pasted: withOutlet }), await ada.send(page, { pasted: withOutlet })]) {
      expect(answer.status).toBe(422)
      expect(answer.words).toContain('Who: There is no number “9” in the book')
      expect(answer.words).toContain('Area m²: “a lot” is not a number')
      expect(answer.words).toContain('Soil: “mud” is none of the words')
      expect(answer.html.querySelector('input[name="3.area"]')?.getAttribute('value')).toBe('a lot')
      expect(answer.html.querySelector('input[name="2.name"]')?.getAttribute('value')).toBe('Hill')
      expect(await listPlots(db, TODAY)).toHaveLength(1)
    }
    const again = await ada.send(page, { pasted: withOutlet })
    expect(again.words).toContain('1 line stood in the book already')
    const mended = await ada.send(again, { '2.holderIds': '1', '3.area': '', '3.soil': 'clay' })
    expect(mended.words).toContain('2 lines are in the book now')
    const plots = await listPlots(db, TODAY)
    expect(plots.map(({ name, isAreaKnown }) => [name, isAreaKnown])).toEqual([
      ['River', true],
      ['Hill', true],
      ['Well', false],
    ])
    expect((await ada.send(again, { '2.holderIds': '1', '3.area': '', '3.soil': 'clay' })).words).toContain('2 lines')
    expect(await listPlots(db, TODAY)).toHaveLength(3)
  })

  it('asks about two of one name, takes a number only once, and knows whom it has', async () => {
    const { ada, db } = await startedBook()
    const page = await paste(ada, 'people', 'No.,Name\n,Musa\n,musa\n1,Ada\n1,Bela\n5,Cita\n5,Dana')
    expect(page.words).toContain('Name: Another line of this page is number 2 with the same name')
    expect(page.words).toContain('Number 1 is already taken')
    expect(page.words).toContain('Number 5 is already taken')
    expect(page.words).toContain('1 line stood in the book already')
    expect((await listPersons(db)).map(({ name }) => name)).toEqual(['Ada', 'Musa', 'Cita'])
  })

  it('reads a refused heading as a question and keeps what was pasted', async () => {
    const { ada } = await startedBook()
    const page = await paste(ada, 'people', 'Name,Shoe size\nMusa,44')
    expect(page.status).toBe(422)
    expect(page.words).toContain('no column “Shoe size”')
    expect(page.html.querySelector('textarea')?.text).toContain('Musa,44')
  })

  it.each(['weirs', 'outlets', 'people', 'plots', 'crops'])(
    'knows every heading of the printed set-up sheet: %s',
    async (list) => {
      const { ada } = await startedBook()
      const sheet = await ada.open('/paper/setup-sheet')
      const heads = sheet.html
        .querySelectorAll(`.setup-${list} thead th`)
        .map(({ text }) => text.trim().replace(/^\d+ /, ''))
      expect(heads.length).toBeGreaterThan(3)
      const page = await paste(ada, list, `${heads.join('\t')}\n${heads.map(() => 'x').join('\t')}`)
      expect(page.words).not.toContain('The blank has no column')
      // All cells were read by their columns: the line stands there again.
      expect(page.html.querySelectorAll('input[value=x]')).toHaveLength(heads.length)
    },
  )

  it('keeps of a weir what nobody knows as not known', async () => {
    const { db } = await bookWithWorks()
    const surveys = await listSurveys(db)
    expect(surveys.map(({ unmeasured }) => unmeasured.toSorted())).toEqual([
      ['crest-level', 'mark', 'off-take'],
      ['bed-slope', 'crest-level', 'mark', 'off-take'],
    ])
  })

  it('is closed to whoever may not describe', async () => {
    const { ada, visitor } = await startedBook()
    await ada.fill('/people/new', {
      name: 'Bela',
      roles: ['member'],
      signInName: 'bela',
      password: 'another long word',
    })
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
    for (const list of ['people', 'plots', 'outlets', 'weirs', 'crops']) {
      expect((await bela.open(`/paper/many/${list}`)).status).toBe(403)
      expect((await ada.open(`/paper/many/${list}`)).status).toBe(200)
    }
    expect((await ada.open('/paper/many/meters')).status).toBe(404)
  })
})

describe('the letters of the set-up sheet', () => {
  const words = JSON.parse(readFileSync('views/locales/en/many.json', 'utf8')) as Record<string, string>
  const fields = ['roles', 'soil', 'method', 'sandType', 'valleyShape']
  const valuesOf = (field: string) =>
    Object.keys(words).flatMap((key) => (key.startsWith(`letter.${field}.`) ? [key.split('.')[2]!] : []))

  it.each(['en', 'sw', 'pt'])('are one for each word, printed and read alike, in %s', async (tag) => {
    const { t } = loadLocale(tag)
    for (const field of fields) {
      const letters = valuesOf(field).map((value) => t(`many.letter.${field}.${value}`))
      expect(letters.length, field).toBeGreaterThan(2)
      expect(new Set(letters).size, field).toBe(letters.length)
    }
    for (const [field, column] of [
      ['valleyShape', 'shape'],
      ['sandType', 'sand'],
    ] as const)
      for (const value of valuesOf(field))
        expect(t(`paper.setup.weirs.${column}`).split(/[\s,:]+/)).toContain(t(`many.letter.${field}.${value}`))
    const { ada, db } = await bookWithWorks()
    await paste(ada, 'outlets', '1,Stand 1,1,200,180')
    const own = (await ada.open('/')).html.querySelector('.who a')!.getAttribute('href')!
    await ada.fill(`/people/settle/language/${own.split('/').at(-1)}`, { language: tag })
    const sheet = await ada.open('/paper/setup-sheet')
    let number = 0
    for (const soil of valuesOf('soil'))
      for (const method of valuesOf('method')) {
        const [ground, watered] = [t(`many.letter.soil.${soil}`), t(`many.letter.method.${method}`)]
        expect(sheet.words).toContain(`${ground} = ${t(`people.plot.soil.${soil}`)}`)
        expect(sheet.words).toContain(`${watered} = ${t(`people.plot.method.${method}`)}`)
        number += 1
        const line = `${number},Plot ${number},1,300,${ground.toLowerCase()},${watered},1,1`
        await ada.send(await ada.open('/paper/many/plots'), { pasted: line })
        expect((await listPlots(db, TODAY)).at(-1), line).toMatchObject({ number, soil, method })
      }
  })
})
