import { describe, expect, it } from 'vitest'
import { type ConductRule, fineOf, lapsesOn, nextStep, type StepTaken } from '../../../domain/people/ladder.ts'
import { openValley } from '../../support/valley.ts'
import { answersOf, optionValue } from '../../support/visitor.ts'

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

  const written = (wordsBefore: number, warningsBefore: number, fine: Partial<ConductRule> = {}): ConductRule => {
    return { wordsBefore, warningsBefore, lapseDays: 30, fineMinor: null, finePercent: null, ...fine }
  }
  it('goes by what the group wrote: so many words, so many warnings, a fine or none', () => {
    const word = step('word', '2026-05-01', '2026-10-01')
    const warning = step('warning', '2026-05-02', '2026-10-02')
    const on = '2026-06-01'
    const three = written(2, 2, { fineMinor: 5000 })
    expect(nextStep([word], on, three)).toBe('word')
    expect(nextStep([word, word], on, three)).toBe('warning')
    expect(nextStep([word, word, warning], on, three)).toBe('warning')
    expect(nextStep([word, word, warning, warning], on, three)).toBe('fine')
    // The words have lapsed and the warning counts: nobody goes back to a word.
    expect(nextStep([warning], on, three)).toBe('warning')
    const fined = step('fine', '2026-05-03', '2026-10-03')
    expect(nextStep([warning, fined], on, written(2, 2))).toBe('warning')
    expect(nextStep([], on, written(0, 1, { fineMinor: 1 }))).toBe('warning')
    expect(nextStep([word], on, written(1, 0, { fineMinor: 1 }))).toBe('fine')
    expect(nextStep([], on, written(0, 0, { finePercent: 50 }))).toBe('fine')
    expect(nextStep([word, warning, warning], on, written(1, 1))).toBe('warning')
    expect(nextStep([word, word, word], on, written(2, 0))).toBe('word')
  })

  it('names the fine and the day of lapse', () => {
    expect(fineOf(written(1, 1, { fineMinor: 5000 }), 800)).toBe(5000)
    expect(fineOf(written(1, 1, { finePercent: 50 }), 333)).toBe(167)
    expect(fineOf(written(1, 1, { finePercent: 50 }), null)).toBeNull()
    expect(fineOf(written(1, 1), 800)).toBeNull()
    expect(lapsesOn(written(1, 1), '2026-01-31')).toBe('2026-03-02')
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
    const kelo = { ...fine, personId: optionValue(again, 'personId', 'Kelo'), reason: 'the meeting said so' }
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

  it('goes by the rule of the group, and whoever goes off it gives a reason that stands beside the step', async () => {
    const valley = await openValley()
    const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
    const [fanta, hila, dovi] = [await valley.signIn('fanta'), await valley.signIn('hila'), await valley.signIn('dovi')]
    const rule = {
      ...{ number: '3', conduct: 'a valve opened outside the own turn', wordsBefore: '2', warningsBefore: '1' },
      ...{ amount: '', percent: '50', lapseDays: '120', fromOn: '2026-11-25', minute: '8/2' },
    }
    for (const [change, said] of [
      [{ fromOn: '2026-11-24' }, 'nobody is fined by what was decided afterwards'],
      [{ amount: '20' }, 'leave the other line empty'],
      [{ percent: '', wordsBefore: '0', warningsBefore: '0' }, 'This leads to nothing'],
    ] as const) {
      const wrong = await amaru.fill('/people/settle/conduct', { ...rule, ...change })
      expect([wrong.status, wrong.words]).toEqual([422, expect.stringContaining(said)])
    }
    const waiting = await amaru.fill('/people/settle/conduct', rule)
    expect(waiting.words).toContain('waits for a second name')
    expect((await amaru.open('/people/warnings/new')).words).not.toContain('another conduct')
    const named = await besi.open('/people/warnings')
    await besi.send(named, {}, named.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!)
    const rules = (await hila.open('/people/warnings')).words
    expect(rules).toMatch(/Rule 3, a valve.*2 words, one warning, then a fine of 50 % of what the last turn.*120 days/)
    expect(rules).toContain('8/2')

    // The page names the step before it is written.
    expect((await amaru.open('/people/warnings/new')).words).toContain('another conduct, in no rule')
    const personId = optionValue(await amaru.open('/people/warnings/new'), 'person', 'Hila')
    const asked = `?person=${personId}&conduct=3`
    const form = await amaru.open(`/people/warnings/new${asked}`)
    expect(form.words).toMatch(/count today: no word, no warning, no fine.*The rule names: a word, until 25 Mar/)
    const said = { personId, fact: 'valve open', hearing: 'forgot', heardOn: '2026-11-25', minute: '' }
    const early = await amaru.send(form, { ...said, step: 'warning' })
    expect([early.status, early.words]).toEqual([422, expect.stringContaining('names another step: a word')])
    const short = await amaru.send(form, { ...said, lapseOn: '2026-12-01' })
    expect([short.status, short.words]).toEqual([
      422,
      expect.stringContaining('By the rule this step lapses on 25 Mar'),
    ])
    const first = await amaru.fill(`/people/warnings/new${asked}`, said)
    expect(first.words).toMatch(/counts until 25 Mar.*Rule 3.*offers next: a word/)
    const second = await amaru.fill(`/people/warnings/new${asked}`, said)
    expect(second.words).toContain('offers next: a warning')
    // What is in no rule begins with a word of its own.
    expect((await amaru.open(`/people/warnings/new?person=${personId}&conduct=`)).status).toBe(200)

    // The treasurer meets the same rule: a fine before its turn wants its reason.
    const heard = { ...said, amount: '', lapseOn: '' }
    const soon = await fanta.fill(`/money/fine${asked}`, { ...heard, amount: '20' })
    expect([soon.status, soon.words]).toEqual([422, expect.stringContaining('names another step: a warning')])
    const off = await fanta.fill(`/money/fine${asked}`, { ...heard, amount: '20', reason: 'third pump broken' })
    expect(off.words).toContain('The rule named a warning; this is a fine.')
    expect(off.words).toContain('Why it goes off the rule: third pump broken')

    const warning = await amaru.fill(`/people/warnings/new${asked}`, { ...said, step: 'warning' })
    const toName = await besi.open(warning.path)
    await besi.send(toName, {}, toName.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!)
    const charges = await valley.db
      .selectFrom('transfer')
      .innerJoin('account', 'account.entryId', 'transfer.debitAccountId')
      .innerJoin('abstraction', 'abstraction.entryId', 'transfer.abstractionId')
      .where('account.personId', '=', personId)
      .where('transfer.kind', '=', 'charge')
      .select(['amountMinor', 'abstraction.onDate'])
      .execute()
    const lastOn = charges
      .map(({ onDate }) => onDate)
      .toSorted()
      .at(-1)
    const last = charges.filter(({ onDate }) => onDate === lastOn)
    expect([charges.length > 1, last.length]).toEqual([true, 1])
    const other = await fanta.fill(`/money/fine${asked}`, { ...heard, amount: '20' })
    expect([other.status, other.words]).toEqual([422, expect.stringContaining('Take that, or give the reason')])
    const fine = await fanta.fill(`/money/fine${asked}`, heard)
    const written = await valley.db
      .selectFrom('fine')
      .selectAll()
      .where('entryId', '=', fine.path.split('/').at(-1)!)
      .executeTakeFirstOrThrow()
    expect([written.amountMinor, written.lapseOn]).toEqual([Math.round(last[0]!.amountMinor / 2), '2027-03-25'])
    expect(fine.words).not.toContain('goes off the rule')

    // The rule ends by another minute; a rule that is none is no page.
    await amaru.fill('/people/settle/conduct?number=3', { ...rule, ends: 'yes', minute: '8/3' })
    expect((await amaru.open('/people/warnings/new?conduct=4')).status).toBe(404)
    expect((await dovi.open('/people/settle/conduct')).status).toBe(403)
  })

  it('a complaint is read by both sides and whoever hears it, and goes from one body to the next', async () => {
    const valley = await openValley()
    const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
    const [hila, isko] = [await valley.signIn('hila'), await valley.signIn('isko')]
    const form = await hila.open('/people/complaints/new')
    const besiId = optionValue(form, 'aboutId', 'Besi')
    const typed = { words: 'the upper line was opened before my turn was over', saidOn: '2026-11-24' }
    const plotId = answersOf(form, 'plotId')[0]!.value
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
