import { beforeAll, describe, expect, it } from 'vitest'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { answersOf, type Visitor } from '../../support/visitor.ts'

let chair: Visitor
let treasurer: Visitor

beforeAll(async () => {
  const valley = await openValley()
  chair = await valley.signIn('amaru')
  treasurer = await valley.signIn('fanta')
})

describe('a line of a form with few answers', () => {
  it('is answered by ringing one, and the ring stays when the page comes back with another line to look at again', async () => {
    const form = await chair.open('/water/levels/new')
    expect(form.html.querySelector('select[name=weirId]')).toBeNull()
    const answers = answersOf(form, 'weirId')
    expect(answers.map(({ holds }) => holds)).toEqual([false, false, false, false])
    const group = form.html.querySelector('[role=radiogroup]#weirId')!
    expect(form.html.querySelector(`#${group.getAttribute('aria-labelledby')}`)?.text).toBe('Weir')
    const again = await chair.send(form, {
      weirId: answers[2]!.value,
      readOn: VALLEY_TODAY,
      readAt: '06:10',
      depth: 'deep',
    })
    expect(again.status).toBe(422)
    expect(answersOf(again, 'weirId').map(({ holds }) => holds)).toEqual([false, false, true, false])
  })

  it('says in the group and beside it what is missing', async () => {
    const again = await chair.fill('/water/levels/new', { readOn: VALLEY_TODAY, readAt: '06:10', depth: '142' })
    expect(again.status).toBe(422)
    const group = again.html.querySelector('#weirId')!
    expect(group.getAttribute('aria-invalid')).toBe('true')
    expect(group.getAttribute('aria-describedby')).toContain('weirId-error')
    expect(again.html.querySelector('#weirId-error')?.text).toContain('Choose one')
  })

  it('that may stay empty holds an answer that says nothing until another is ringed', async () => {
    const form = await chair.open('/water/weirs/new')
    const rings = form.html.querySelectorAll('input[type=radio][name=valleyShape]')
    expect(rings.length).toBe(3)
    const seldom = (await treasurer.open('/money/price/new')).html.querySelectorAll(
      'input[type=radio][name=perHectareEvery]',
    )
    expect(seldom[0]?.getAttribute('value')).toBe('')
  })

  it('with more than four answers stays a list', async () => {
    const form = await chair.open('/turns/settle/people-of-plot')
    expect(form.html.querySelectorAll('select[name=plotId] option').length).toBeGreaterThan(30)
  })
})
