import { describe, expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'

const TODAY = '2026-06-04T05:00:00Z'

/** A book with Ada (who began it) and Bo, both signed in; `id` gives their addresses. */
async function twoPeople() {
  const { visitor, setNow } = await startedBook(TODAY)
  const ada = visitor()
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
  const bo = visitor()
  const written = { number: '2', name: 'Bo', signInName: 'bo', password: 'bo has a word', roles: ['member'] }
  const boAt = (await ada.fill('/people/new', written)).path
  await bo.fill('/sign-in', { signInName: 'bo', password: 'bo has a word' })
  const adaAt = (await ada.open('/')).html.querySelector('.who a')!.getAttribute('href')!
  return { ada, bo, adaAt, boAt, setNow }
}

describe('a mark', () => {
  it('is chosen by the person, shown beside the number, and nobody else’s while in use', async () => {
    const { ada, bo, adaAt, boAt } = await twoPeople()
    await ada.fill(`${adaAt}/mark/kettle`, { frame: 'ring' })
    const people = await bo.open('/people')
    expect(people.html.querySelector('.list svg.mk')!.getAttribute('aria-label')).toBe('the kettle in the ring')
    expect(people.html.querySelectorAll('symbol#mk-kettle-ring')).toHaveLength(1)
    const page = await bo.open(`${boAt}/mark/kettle`)
    expect(page.words).toContain('the kettle in the ring Ada has it')
    expect(page.html.querySelectorAll('input[type=radio]').map((one) => one.getAttribute('value'))).toEqual([
      'bare',
      'box',
      'ground',
    ])
    const refused = await bo.send(page, { frame: 'ring' })
    expect(refused.status).toBe(422)
    expect(refused.words).toContain('Ada goes by this mark. Choose another frame or another picture.')
    expect((await bo.send(page, { frame: 'bare' })).words).toContain('the kettle')
  })

  it('rests through the season after the one in which it was given up, and may be taken up again by its own', async () => {
    const { ada, bo, adaAt, boAt, setNow } = await twoPeople()
    await ada.fill(`${adaAt}/mark/boat`, { frame: 'bare' })
    setNow('2026-06-10T05:00:00Z')
    await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    await ada.fill(`${adaAt}/mark`, {}, { action: `${adaAt}/mark/end` })
    const later = async (instant: string) => {
      setNow(instant)
      await bo.fill('/sign-in', { signInName: 'bo', password: 'bo has a word' })
      return bo.open(`${boAt}/mark/boat`)
    }
    // The season lasts from 1 June to 31 October; the next whole one ends on 31 October of the next year.
    const resting = await later('2027-10-31T05:00:00Z')
    expect(resting.words).toContain('Ada gave it up; it rests until')
    expect(resting.html.querySelector('#frame-bare')).toBeNull()
    // The page offers another frame; whoever sends this one all the same is told.
    const asked = await bo.send(resting, { frame: 'bare' })
    expect([asked.status, asked.words]).toEqual([422, expect.stringContaining('went by this mark until lately')])
    expect((await later('2027-11-01T05:00:00Z')).html.querySelector('#frame-bare')).not.toBeNull()
  })

  it('chosen twice on one day is put right, and does not rest', async () => {
    const { ada, bo, adaAt, boAt } = await twoPeople()
    await ada.fill(`${adaAt}/mark/boat`, { frame: 'bare' })
    await ada.fill(`${adaAt}/mark/kite`, { frame: 'bare' })
    expect((await bo.open(`${boAt}/mark/boat`)).html.querySelector('#frame-bare')).not.toBeNull()
  })

  it('is written in for somebody by the committee alone, with how it was asked for', async () => {
    const { ada, bo, adaAt, boAt } = await twoPeople()
    expect((await bo.open(`${adaAt}/mark`)).status).toBe(403)
    const page = await ada.open(`${boAt}/mark/tree`)
    expect((await ada.send(page, { frame: 'bare' })).status).toBe(422)
    expect((await ada.send(page, { frame: 'bare', asked: 'present' })).words).toContain('the tree')
  })

  it('is not chosen of a picture that the group struck out', async () => {
    const { ada, bo, boAt } = await twoPeople()
    const page = await bo.open(`${boAt}/mark/tree`)
    await ada.fill('/people/settle/marks', { pictures: ['tree'] })
    expect((await bo.send(page, { frame: 'bare' })).words).toContain('The group struck this picture out')
    expect((await bo.open(`${boAt}/mark`)).html.querySelector(`a[href$="/mark/tree"]`)).toBeNull()
  })
})
