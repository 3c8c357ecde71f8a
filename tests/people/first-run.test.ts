import { describe, expect, it } from 'vitest'
import { weakness } from '../../domain/people/weak-password.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { commonestPasswords } from '../../server/people/commonest-passwords.ts'
import { CLAIM_CODE, OWN_GROUP, openBook, startedBook } from '../support/book.ts'

describe('an empty book', () => {
  it('offers to start our own book or to open the example valley', async () => {
    const page = await (await openBook()).visitor().open('/')
    expect(page.html.querySelector('a[href="/start"]')).not.toBeNull()
    expect(page.html.querySelector('form[action="/start?as=example"]')).not.toBeNull()
  })

  it('is not claimed without the code from the terminal, and keeps what was typed', async () => {
    const book = await openBook()
    const page = await book.visitor().fill('/start', { ...OWN_GROUP, code: '111111' })
    expect(page.status).toBe(422)
    expect(page.words).toContain('This is not the code')
    expect(page.html.querySelector('#name')?.getAttribute('value')).toBe(OWN_GROUP.name)
    expect(page.text).not.toContain(OWN_GROUP.password)
    expect(await book.db.selectFrom('entry').selectAll().execute()).toEqual([])
  })

  it('opens the example on a book that phones reach only with the code', async () => {
    const book = await openBook(undefined, undefined, { phones: () => ['http://192.168.43.7:3000'] })
    const first = await book.visitor().open('/')
    expect(first.html.querySelector('form[action="/start?as=example"]')).toBeNull()
    expect(first.html.querySelector('a[href="/start?as=example"]')).not.toBeNull()
    for (const code of ['', '111111']) {
      const page = await book.visitor().fill('/start?as=example', { code })
      expect(page.status).toBe(422)
      expect(page.html.querySelector('#code-error')).not.toBeNull()
    }
    expect(await book.db.selectFrom('entry').selectAll().execute()).toEqual([])
    const page = await book.visitor().fill('/start?as=example', { code: CLAIM_CODE })
    expect(page.words).toContain('amaru')
  })

  it.each([
    ['latitude', '95', 'from -66 to 66'],
    ['latitude', 'north', 'is not a number'],
    ['longitude', '38,123', 'can be read two ways'],
    ['timeZone', 'Atlantis/Port', 'no such time zone'],
    ['currency', 'ZZZ', 'no such currency'],
    ['seasonEnd', '2026-05-01', 'must end after it starts'],
    ['seasonEnd', '2026-02-30', 'not a day on the calendar'],
    ['password', 'short', 'at least 8'],
  ])('says beside %s what to do about “%s”', async (field, typed, words) => {
    const page = await (await openBook()).visitor().fill('/start', { ...OWN_GROUP, [field]: typed })
    expect(page.status).toBe(422)
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(page.html.querySelector(`#${field}`)?.getAttribute('aria-describedby')).toContain(`${field}-error`)
    expect(page.html.querySelector(`[role=alert] a[href="#${field}"]`)).not.toBeNull()
    expect(page.html.querySelector('title')?.text).toMatch(/^Look again:/)
  })

  it('takes a decimal comma as well as a point', async () => {
    const book = await openBook()
    await book.visitor().fill('/start', { ...OWN_GROUP, latitude: '-1,52', elevation: '1 040' })
    const group = await book.db.selectFrom('groupSetting').selectAll().executeTakeFirstOrThrow()
    expect([group.latitudeDeg, group.elevationM]).toEqual([-1.52, 1040])
  })

  it('is started once, by its first committee member, in a chain that verifies', async () => {
    const { ada, db, visitor } = await startedBook()
    const home = await ada.open('/')
    expect(home.words).toContain('Setting up the book')
    const next = home.html.querySelector('.slip.first')!
    expect(next.getAttribute('href')).toBe('/paper/many/weirs')
    expect(next.text).toContain('step 1 of 16')
    expect((await visitor().open('/start')).status).toBe(409)
    const check = await verifyBook(db)
    expect(check.brokenAt).toBeNull()
    expect(check.entries).toBeGreaterThan(8)
  })
})

it('takes none of the passwords of the public list, and still takes words that do not belong together', async () => {
  const listed = await commonestPasswords()
  expect(listed.size).toBeGreaterThan(10_000)
  // Those that our own words do not know are refused by the list alone.
  const byListAlone = [...listed].filter((one) => weakness(one, [], new Set()) === null)
  expect(byListAlone.length).toBeGreaterThan(1000)
  expect([...listed].filter((one) => weakness(one.toUpperCase(), [], listed) === null)).toEqual([])
  expect(weakness('gravel bucket seldom', [], listed)).toBeNull()
  const page = await (await openBook()).visitor().fill('/start', { ...OWN_GROUP, password: byListAlone[0]! })
  expect([page.status, page.html.querySelector('#password-error')?.text]).toEqual([
    422,
    expect.stringContaining('everybody tries first'),
  ])
})
