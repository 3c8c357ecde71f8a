import { beforeEach, describe, expect, it } from 'vitest'
import { listPersons } from '../../server/people/person/store.ts'
import { listReadings } from '../../server/water/level/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { answersOf } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

describe('a form that is followed by the next of its kind', () => {
  it('writes once, says so, and stands there again with what is alike for both', async () => {
    const chair = await valley.signIn('amaru')
    const page = await chair.open('/water/levels/new')
    const weir = answersOf(page, 'weirId')[0]?.value
    const typed = { weirId: weir!, readOn: VALLEY_TODAY, readAt: '00:05', depth: '142', another: 'yes' }
    const count = (await listReadings(valley.db)).length
    const next = await chair.send(page, typed)
    expect(next.path).toMatch(/^\/water\/levels\/new\?/)
    expect(next.words).toContain('Written in the book. Here is the next one.')
    const value = (name: string) => next.html.querySelector(`[name=${name}]`)!.getAttribute('value')
    expect([value('readOn'), value('readAt'), value('depth')]).toEqual([VALLEY_TODAY, '00:05', ''])
    await chair.send(page, typed)
    expect((await listReadings(valley.db)).length).toBe(count + 1)
  })

  it('leads where it always led without the second button', async () => {
    const chair = await valley.signIn('amaru')
    const page = await chair.fill('/people/new', { name: 'Nuru Adeh' })
    expect(page.path).toMatch(/^\/people\/[^/]+$/)
    expect((await listPersons(valley.db)).some(({ name }) => name === 'Nuru Adeh')).toBe(true)
  })

  it.each(['/people/new', '/people/plots/new', '/works/pumps/new', '/works/outlets/new', '/water/walls/new'])(
    'is offered at %s',
    async (path) => {
      const chair = await valley.signIn('amaru')
      expect((await chair.open(path)).html.querySelector('button[name=another]')).not.toBeNull()
    },
  )
})
