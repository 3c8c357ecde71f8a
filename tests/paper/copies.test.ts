import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { OWN_GROUP, openBook } from '../support/book.ts'

const folder = mkdtempSync(join(tmpdir(), 'copies-'))
afterAll(() => rmSync(folder, { recursive: true }))

it('the page of copies tells the day of the last one, and marks it once it is older than yesterday', async () => {
  const book = await openBook('2026-06-04T05:00:00Z', undefined, { copies: { folder, place: '/books/ford.sqlite' } })
  const ada = book.visitor()
  await ada.fill('/start', OWN_GROUP)
  const bela = { number: '2', name: 'Bela', signInName: 'bela', password: 'another long word' }
  await ada.fill('/people/new', { ...bela, roles: ['treasurer'] })
  const treasurer = book.visitor()
  await treasurer.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
  const told = async () => {
    const page = await treasurer.open('/paper/copies')
    const line = page.html.querySelectorAll('main p').find(({ text }) => text.includes('machine'))!
    return [line.text.trim(), line.classList.contains('note')]
  }
  expect(await told()).toEqual([expect.stringContaining('has made no copy of its own accord yet'), true])
  for (const [day, isOld] of [
    ['2', true],
    ['3', false],
    ['4', false],
  ] as const) {
    writeFileSync(join(folder, `ford-2026-06-0${day}.sqlite`), '')
    expect(await told()).toEqual([`Of its own accord the machine made its last copy on ${day} Jun 2026.`, isOld])
  }
})
