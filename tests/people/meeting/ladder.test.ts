import { describe, expect, it } from 'vitest'
import { nextStep, type StepTaken } from '../../../domain/people/ladder.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

describe('the ladder', () => {
  // Graduated sanctions: E. Ostrom, Design principles in long-enduring irrigation institutions, 1993 (from memory).
  const step = (what: StepTaken['step'], heardOn: string, lapseOn: string, isLifted = false) => {
    return { step: what, heardOn, lapseOn, isLifted }
  }
  it('begins with a word, goes up one step at a time and begins anew once all have lapsed or were lifted', () => {
    const word = step('word', '2026-05-01', '2026-10-01')
    const warning = step('warning', '2026-06-01', '2026-11-01')
    expect(nextStep([], '2026-05-01')).toBe('word')
    expect(nextStep([word], '2026-05-01')).toBe('warning')
    expect(nextStep([word, warning], '2026-06-01')).toBe('fine')
    expect(nextStep([word, warning, step('fine', '2026-07-01', '2026-12-01')], '2026-07-02')).toBe('fine')
    expect(nextStep([word, warning], '2026-10-31')).toBe('fine')
    expect(nextStep([word, warning], '2026-11-01')).toBe('word')
    expect(nextStep([word, { ...warning, isLifted: true }], '2026-06-02')).toBe('warning')
    expect(nextStep([warning], '2026-05-31')).toBe('word')
  })
})

describe('in the book', () => {
  it('a first time gets a word; a warning needs a second name and is appealed to another body', async () => {
    const valley = await openValley()
    const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
    const [fanta, hila, isko] = [await valley.signIn('fanta'), await valley.signIn('hila'), await valley.signIn('isko')]
    const form = await amaru.open('/people/warnings/new')
    const said = {
      ...{ personId: optionValue(form, 'personId', 'Hila'), rule: 'rule 9', fact: 'valve open', hearing: 'forgot' },
      ...{ heardOn: '2026-11-24', lapseOn: '2027-05-01' },
    }
    const early = await amaru.send(form, { ...said, step: 'warning' })
    expect([early.status, early.words]).toEqual([422, expect.stringContaining('the ladder offers a word. Choose')])
    const fineForm = await fanta.open('/money/fine')
    const { rule, fact, heardOn, hearing, lapseOn } = said
    const fine = { personId: said.personId, rule, fact, heardOn, hearing, lapseOn, amount: '200' }
    expect((await fanta.send(fineForm, fine)).words).toContain('the ladder offers a word first')

    const word = await amaru.fill('/people/warnings/new', { ...said, minute: '8/1' })
    expect(word.words).toContain('8/1 not yet written in the decisions book')
    expect(word.words).toContain('offers next: a warning')
    // It stands on the first page of that person, and of nobody else.
    const own = (await hila.open('/')).html.querySelector(`a[href="${word.path}"]`)
    expect(own!.text).toContain('A word was given to you: rule 9')
    for (const other of [amaru, besi, isko])
      expect((await other.open('/')).html.querySelector(`a[href="${word.path}"]`)).toBeNull()
    const warning = await amaru.fill('/people/warnings/new', { ...said, step: 'warning' })
    expect(warning.words).toContain('waits for a second name')
    expect((await hila.open(warning.path)).words).not.toContain('offers next: a fine')
    const page = await besi.open(warning.path)
    const approval = page.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!
    await besi.send(page, {}, approval)
    expect((await hila.open(warning.path)).words).toContain('offers next: a fine')
    expect((await isko.open(warning.path)).status).toBe(403)
    expect((await isko.open('/people/warnings')).words).not.toContain('Hila')

    // Once a warning counts the ladder offers the fine, and says so no more.
    const inTurn = await fanta.send(await fanta.open('/money/fine'), fine)
    expect([inTurn.status, inTurn.words]).toEqual([200, expect.not.stringContaining('a fine at once')])
    const again = await fanta.open('/money/fine')
    const kelo = { ...fine, personId: optionValue(again, 'personId', 'Kelo'), atOnce: 'yes' }
    expect((await fanta.send(again, kelo)).words).toContain('the ladder offered a word; this is a fine at once')

    const appeal = { words: 'the latch was broken', toBody: 'committee' }
    const same = await hila.fill(warning.path, appeal, { action: `${warning.path}/appeal` })
    expect([same.status, same.words]).toEqual([422, expect.stringContaining('This body decided it')])
    await hila.fill(warning.path, { ...appeal, toBody: 'elders' }, { action: `${warning.path}/appeal` })
    // Neither the writer nor whoever named it writes how the elders decided; a third officer does.
    for (const officer of [amaru, besi]) {
      expect((await officer.open(warning.path)).html.querySelector(`form[action="${warning.path}/ruling"]`)).toBeNull()
      const sent = await officer.send(page, {}, approval)
      expect(sent.words).not.toContain('lifted:')
    }
  })

  it('a complaint is read by both sides and whoever hears it, and goes from one body to the next', async () => {
    const valley = await openValley()
    const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
    const [hila, isko] = [await valley.signIn('hila'), await valley.signIn('isko')]
    const form = await hila.open('/people/complaints/new')
    const besiId = optionValue(form, 'aboutId', 'Besi')
    const typed = { words: 'the upper line was opened before my turn was over', saidOn: '2026-11-24' }
    const plotId = form.html.querySelectorAll('select[name=plotId] option')[1]!.getAttribute('value')!
    const complaint = await hila.send(form, { ...typed, aboutId: besiId, plotId })
    expect(complaint.words).toContain('Not heard yet')
    expect((await isko.open(complaint.path)).status).toBe(403)
    // The officer with a part in it stands down.
    expect((await besi.open(complaint.path)).html.querySelector('main form')).toBeNull()
    const heard = {
      heardOn: '2026-11-25',
      body: 'attendant',
      outcome: 'both told to wait for the bell',
      ends: 'goes-on',
    }
    const first = await amaru.fill(complaint.path, { ...heard, bothHeard: 'yes' })
    expect(first.words).toContain('both sides heard: both told to wait for the bell Goes on to another body')
    expect((await amaru.fill(complaint.path, heard)).words).toContain('This body has heard it already')
    const ended = await amaru.fill(complaint.path, { ...heard, body: 'elders', ends: 'ends', minute: 'e/4' })
    expect(ended.words).toMatch(/the elders, one side heard.*Settled\. ?e\/4 not yet written/)
    expect(ended.html.querySelector('main form')).toBeNull()
    expect((await hila.open(complaint.path)).html.querySelector(`a[href^="/turns/plots/${plotId}"]`)).not.toBeNull()
  })
})
