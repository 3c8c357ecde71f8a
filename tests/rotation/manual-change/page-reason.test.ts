import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'

const DRAFT = '/turns/weeks/2026-11-30'

let chair: Visitor
beforeAll(async () => {
  chair = await (await openValley()).signIn('amaru')
})

/** The form of the first turn of the week that is no officer's. */
async function changeForm(): Promise<{ page: Seen; number: string }> {
  const draft = await chair.open(DRAFT)
  const officers = draft.html.querySelectorAll('tr').filter(({ text }) => text.includes('officer'))
  const list = await chair.open(`${DRAFT}/changes`)
  const row = list.html.querySelectorAll('tbody tr').find((one) => {
    const holder = one.querySelector('th')!.text.trim()
    return !officers.some(({ text }) => text.includes(holder)) && !one.text.includes('17:')
  })!
  const page = await chair.open(row.querySelector('a')!.getAttribute('href')!)
  return { page, number: row.querySelector('th')!.text.trim().split(/\s/)[0]! }
}

const whyOf = async (number: string) => {
  const row = (await chair.open(DRAFT)).html
    .querySelectorAll('th a')
    .find(
      (link) =>
        link.text.trim().split(/\s/)[0] === String(number) &&
        link.getAttribute('href')!.startsWith('/turns/working/why/'),
    )!
  return chair.open(row.getAttribute('href')!)
}

describe('the reason of a turn that the committee changed by hand', () => {
  it('refuses a move to where the turn stands already', async () => {
    const { page } = await changeForm()
    const answer = await chair.send(page, { kind: 'move', reason: 'no matter' })
    expect(answer.status).toBe(422)
    expect(answer.html.querySelector('#start-error')!.text).toContain('stands there already')
  })

  it('tells the change with its reason instead of saying that the plot gets all it needs', async () => {
    const { page, number } = await changeForm()
    expect((await whyOf(number)).words).not.toContain('changed it by hand')
    await chair.send(page, { kind: 'drop', reason: 'the bed has been harvested' })
    const why = await whyOf(number)
    expect(why.words).toContain('because the committee changed it by hand.')
    expect(why.words).toContain('The committee changed it by hand.')
    expect(why.words).not.toContain('It gets all it needs.')
    expect(why.words).toMatch(/taken off the list\. Amaru Tolle, .*: the bed has been harvested/)
    const row = (await chair.open(DRAFT)).html
      .querySelectorAll('tr')
      .find((one) => one.querySelector(`a[href="${why.path}"]`))!
    expect(row.text).toContain('The committee changed it by hand.')
  })

  it('shows the turn of a plot without a claim, and who put it in', async () => {
    const form = await chair.open(`${DRAFT}/change?as=add`)
    const fields = {
      plotId: optionValue(form, 'plotId', '10 Kelo'),
      outletId: optionValue(form, 'outletId', '10 line'),
    }
    // The first hour of that day at which the line is free.
    let start = ''
    for (let hour = 7; hour < 17; hour++) {
      start = `${String(hour).padStart(2, '0')}:00`
      await chair.send(form, { ...fields, onDate: '2026-12-05', start, volume: '1', reason: 'to soften the bed' })
      if ((await chair.open(DRAFT)).words.includes('to soften the bed')) break
    }
    const link = (await chair.open(DRAFT)).html.querySelectorAll('li a').find(({ text }) => text.trim() === 'Plot 10')!
    const why = await chair.open(link.getAttribute('href')!)
    expect(why.words).toContain('No crop stands on it this week.')
    expect(why.words).toContain(`Saturday 5 December, ${start} to`)
    expect(why.words).toContain('to soften the bed')
  })
})
