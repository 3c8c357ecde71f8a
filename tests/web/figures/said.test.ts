import { describe, expect, it } from 'vitest'
import { shown } from '../shown.ts'

// What somebody said in their own words, and beside it whose it is and of which day: no two are alike.

const at = '2026-06-05T07:20:00Z'

describe('what was said stands word for word', () => {
  it('of a complaint, with its day, its writer and each hearing', () => {
    const complaint = {
      ...{ words: 'Two nights without water.', saidOn: '2026-06-04', aboutName: 'Cai', plotNumber: 7, plotId: 'p' },
      ...{ writerName: 'Ada', writtenAt: at },
    }
    const hearing = {
      ...{ heardOn: '2026-06-08', body: 'committee', bothHeard: true, outcome: 'The valve leaked.', ends: true },
      ...{ minute: null, writerName: 'Bo' },
    }
    const view = shown('people/complaint/page', { complaint, hearings: [hearing], through: 'Dov', mayHear: false })
    expect(view.html.querySelector('.lead')!.text).toBe('Two nights without water.')
    expect(view.facts['Said on']).toBe('4 Jun 2026 Dov')
    expect(view.words).toMatch(/written by Ada, .*5 Jun.*8 Jun 2026, .*both sides heard: The valve leaked\. .*by Bo/)
  })

  it('of a warning, with the rule, what happened and the day of the hearing', () => {
    const warning = {
      ...{ rule: 'No draw at night', fact: 'A draw at 2', hearing: 'The clock was wrong', heardOn: '2026-06-08' },
      ...{ body: 'committee', writerName: 'Ada', writtenAt: at, appeal: null, ruling: null },
    }
    const page = { warning, state: 'in force', minute: null, grounds: [], next: 'fine', names: null, step: null }
    const { facts } = shown('people/warning/page', page)
    expect(Object.values(facts).slice(0, 3)).toEqual([
      'No draw at night',
      'A draw at 2',
      'On 8 Jun 2026: The clock was wrong',
    ])
  })

  it('of a fine, with what was said against it before what was ruled', () => {
    const fine = {
      ...{ id: 'f', amount: 'XOF 300', state: 'stands', rule: 'No draw at night', fact: 'A draw at 2' },
      ...{ hearing: 'The clock was wrong', lapse: '9 Jul 2026', writer: 'Ada', second: 'Bo' },
    }
    const appeal = { words: 'I was away', decision: 'It stands', writer: 'Cai, 9 June' }
    const { facts } = shown('fees/fine/page', { fine, appeal, minute: null, skipped: null, grounds: [], names: {} })
    expect(facts).toMatchObject({ 'What was said at the hearing': 'The clock was wrong', Written: 'Ada' })
    expect(facts.Appeal).toBe('I was away It stands Cai, 9 June')
  })

  it('of a wall that was looked at earlier, after its day, its part and its state', () => {
    const earlier = [
      {
        id: 'i',
        seenOn: '2026-06-04',
        weirNumber: 3,
        part: 'wall',
        state: 'watch',
        found: 'A crack by the left bank',
      },
    ]
    const page = { danger: [], overdue: [], last: [], unseen: [], earlier, cautions: [] }
    const { html } = shown('water/inspection/list', page)
    expect(html.querySelectorAll('ul.notes li').at(-1)!.text.replace(/\s+/g, ' ').trim()).toMatch(
      /^4 Jun 2026 Weir 3, .*: .*, A crack by the left bank$/,
    )
  })

  it('of a count of the cash, by whom and when', () => {
    const count = {
      ...{ id: 'c', result: 'It is right', openNow: null, counted: 'XOF 1,230', book: 'XOF 1,230' },
      ...{
        people: 'Ada and Bo',
        confirmed: 'Bo, 9 June',
        writtenAt: '8 June 16:40',
        later: [],
        decided: [],
        isOpen: false,
      },
    }
    const { facts } = shown('fees/cash/count', { count, writeOff: null, names: {} })
    expect(facts).toMatchObject({ 'Counted by': 'Ada and Bo', Written: '8 June 16:40' })
  })
})

describe('each tank', () => {
  it('is called by its number and name, and holds, keeps and stands at what is its own', () => {
    const tanks = [
      {
        tank: { id: 'a', number: 4, name: 'Hill', areaM2: 16, heightM: 1.25 },
        pump: { number: 2, name: 'Heron' },
        uses: [
          { fromOn: '2026-06-01', servesStand: true, keptM3: 3.2, fromHour: 5, toHour: 8 },
          { fromOn: '2026-07-03', servesStand: false, keptM3: 0, fromHour: null, toHour: null },
        ],
        level: { levelM: 0.5, on: '2026-06-09', moment: 'dawn' },
        outlets: [{ number: 16, name: 'line 1', flowM3PerH: 2.2, fromOn: '2026-05-07' }],
      },
    ]
    const view = shown('rotation/tank-turns', { tanks, counted: new Map(), cautions: [] })
    expect(view.html.querySelector('h2')!.text.trim()).toBe('4 Hill')
    expect(view.words).toMatch(/2 Heron.*20.*16.*1\.25.*3\.2.*20.*05:00.*08:00.*8.*9 Jun 2026.*at dawn/)
    expect(view.words).toMatch(/16.*line 1.*2\.2.*7 May 2026/)
    expect(view.words.match(/3 Jul 2026/g)).toHaveLength(2)
  })
})
