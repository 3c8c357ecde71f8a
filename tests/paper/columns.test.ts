import { describe, expect, it } from 'vitest'
import { tankReadings } from '../../server/works/tank/store.ts'
import { TODAY } from '../abstractions/book.ts'
import { optionValue, type Seen } from '../support/visitor.ts'
import { bookWithTank } from '../works/tank-book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }

describe('one definition', () => {
  it.each([
    ['pump-readings', '/log/round?as=meter', ['Day', 'Pump']],
    ['tanks', '/log/round?as=tank-day', ['Day', 'Tank']],
    ['levels', '/water/levels/new', ['Day', 'Weir']],
    ['weather', '/crops/weather/new', []],
    ['flow-tests', '/log/tests/bucket', ['Day', 'Outlet', 'Drum or bucket, litres']],
    ['requests', '/turns/ask', ['Week']],
  ])(
    'gives the blank of %s and the table it is typed into the fields of its screen, in their order',
    async (book, screen, carried) => {
      const { ada } = await bookWithTank()
      const labels = (await ada.open(screen)).html.querySelectorAll(
        'main form[method=post] .q > label, main form[method=post] .asks, main form[method=post] .tick > label',
      )
      const namesOf = (some: typeof labels) =>
        some
          .map((label) => label.text.replace(/ \((may stay empty|empty: not known)\)/, '').trim())
          .filter((label) => !OF_THE_SCREEN_ALONE.test(label))
      const fields = namesOf(labels)
      // The further rows of a page wait on a phone behind a fold, under the same heads again.
      const heads = (page: Seen) =>
        page.html
          .querySelector('main table')!
          .querySelectorAll('thead th')
          .map((head) => head.text.trim())
      const blank = heads(await ada.open(`/paper/${book}`))
      expect(heads(await ada.open(`/paper/${book}/type`))).toEqual(blank)
      expect(fields.length).toBeGreaterThan(4)
      const columns = blank.filter((column) => fields.includes(column))
      expect(columns.toSorted()).toEqual(fields.toSorted())
      // What may stay empty waits on the screen below the button, in the same order again.
      const folded = namesOf(labels.filter((label) => label.closest('details')))
      const others = (names: string[]) => names.filter((name) => !carried.includes(name))
      const inOrder = (names: string[]) => others([...names.filter((name) => !folded.includes(name)), ...folded])
      expect(others(folded)).toEqual(others(columns.filter((name) => folded.includes(name))))
      expect(inOrder(columns)).toEqual(inOrder(fields))
    },
  )

  it('reads every book from a spreadsheet too: semicolons, decimal commas, a byte-order mark', async () => {
    const { ada, db } = await bookWithTank()
    const pasted = '\ufeffDay;Tank;Level in the morning, cm;Jerrycans at the stand\r\n11/06/2026;1;62,5;35\r\n'
    const page = await ada.fill('/paper/tanks/type', { pageNo: '1', pasted })
    expect(page.words).toContain('1 row of this page is in the book')
    expect((await tankReadings(db, DAY)).map(({ reading }) => reading)).toEqual([0.625])
    const timings = `${TODAY}\t3\t20\t30\t30,5\t29,5\t\tclear`
    expect((await ada.fill('/paper/flow-tests/type', { pageNo: '1', pasted: timings })).words).toContain(
      '1 row of this',
    )
  })

  it('takes a tank that is full to its rim of 2 m, from paper as on the screen, and no centimetre more', async () => {
    const { ada, db } = await bookWithTank()
    const typed = (cm: number) => ada.fill('/paper/tanks/type', { pageNo: '1', pasted: `${TODAY}\t1\t${cm}` })
    const asked = async (cm: number) => {
      const form = await ada.open('/log/round?as=tank')
      const tankId = optionValue(form, 'tankId', 'Hill')
      return ada.send(form, { tankId, onDate: TODAY, moment: 'dusk', atTime: '16:00', level: String(cm) })
    }
    for (const over of [await typed(201), await asked(201)]) expect(over.words).toContain('only 200 cm high')
    expect(await tankReadings(db, DAY)).toEqual([])
    expect((await typed(200)).words).toContain('1 row of this page is in the book')
    await asked(200)
    expect((await tankReadings(db, DAY)).map(({ reading }) => reading)).toEqual([2, 2])
  })

  it('refuses a heading that it does not know, so that no column is lost unseen; the printed row numbers may stay', async () => {
    const { ada, db } = await bookWithTank()
    const pasted = 'Row;Day;Tank;Level in the morning, cm;Level at dusk\n1;11/06/2026;1;62,5;70\n'
    const page = await ada.fill('/paper/tanks/type', { pageNo: '1', pasted })
    expect(page.status).toBe(422)
    expect(page.words).toContain('The blank has no column “Level at dusk”')
    expect(page.html.querySelector('[name=pasted]')?.text).toContain('62,5;70')
    expect(await tankReadings(db, DAY)).toEqual([])
    await ada.send(page, { pasted: pasted.replace('Level at dusk', 'Level in the evening, cm') })
    expect((await tankReadings(db, DAY)).map(({ reading }) => reading)).toEqual([0.625, 0.7])
  })
})

/** A correction asks for a reason, which has its own page; how something was asked is said by the page of paper itself. */
const OF_THE_SCREEN_ALONE = /^Reason|Why|^How it was asked|^Who brought the words/
