import { beforeEach, describe, expect, it } from 'vitest'
import { namedBasis, openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

describe('a week of the example valley', () => {
  it('is a draft until the committee publishes it, and then stays as it was agreed', async () => {
    const chair = await valley.signIn('amaru')
    const draft = await chair.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain('Nothing is agreed until the committee publishes it')
    const published = await chair.send(
      await chair.open(`/turns/weeks/${NEXT}/publish`),
      {},
      `/turns/weeks/${NEXT}/publish`,
    )
    expect(published.status).toBe(200)
    expect(published.words).toContain('Published')
    const before = (await chair.open(`/turns/weeks/${NEXT}`)).words
    await chair.fill('/turns/rule/change', {
      equalWeight: '100',
      areaWeight: '0',
      shareWeight: '0',
      admission: 'request',
    })
    expect((await chair.open(`/turns/weeks/${NEXT}`)).words).toBe(before)
  })

  it('tells with figures why what is given now is not missing at the end', async () => {
    const chair = await valley.signIn('amaru')
    const week = await chair.open(`/turns/weeks/${NEXT}`)
    const told = week.html.querySelectorAll('ul.notes li').filter((one) => one.text.includes('not missing at the end'))
    expect(told.length).toBeGreaterThan(0)
    for (const { text } of told) {
      const [, crops, lost] = /this week’s ([\d.,]+) m³ for crops stayed in the sand, ([\d.,]+) m³/.exec(text)!
      const m3 = (figure: string) => Number(figure.replace(',', ''))
      expect(m3(crops!)).toBeGreaterThan(0)
      expect(m3(lost!)).toBeLessThan(m3(crops!))
      expect(text).toMatch(/every later week keeps the same [\d.]+% of its need/)
    }
  })

  it('is published once, however often the form is sent', async () => {
    const chair = await valley.signIn('amaru')
    const look = await chair.open(`/turns/weeks/${NEXT}/publish`)
    await chair.send(look, {}, `/turns/weeks/${NEXT}/publish`)
    const again = await chair.send(look, {}, `/turns/weeks/${NEXT}/publish`)
    expect(again.status).toBe(200)
    const rows = await valley.db.selectFrom('publishedWeek').select('entryId').where('weekStartOn', '=', NEXT).execute()
    expect(rows).toHaveLength(1)
  })

  it('shows the new draft instead of publishing one that nobody has seen', async () => {
    const chair = await valley.signIn('amaru')
    const look = await chair.open(`/turns/weeks/${NEXT}/publish`)
    await chair.fill('/turns/settle/no-turn-day', { onDate: '2026-12-02', words: 'market' })
    const answer = await chair.send(look, {}, `/turns/weeks/${NEXT}/publish`)
    expect(answer.status).toBe(409)
    expect(answer.words).toContain('Something in the book has changed since you opened the draft')
    expect(answer.words).toContain('market')
  })

  it('has no turns on a day without turns', async () => {
    const chair = await valley.signIn('amaru')
    await chair.fill('/turns/settle/no-turn-day', { onDate: '2026-12-01', words: 'funeral' })
    await namedBasis(valley, NEXT)
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const turns = await valley.db.selectFrom('turn').select('onDate').where('onDate', '=', '2026-12-01').execute()
    expect(turns).toEqual([])
  })

  it('is not published by a member, and a member is told so', async () => {
    const member = await valley.signIn('hila')
    const draft = await member.open(`/turns/weeks/${NEXT}`)
    expect(draft.html.querySelector(`form[action="/turns/weeks/${NEXT}/publish"]`)).toBeNull()
    const token = draft.html.querySelector('input[name=_csrf]')!.getAttribute('value')!
    const answer = await member.agent
      .post(`/turns/weeks/${NEXT}/publish`)
      .type('form')
      .send({ _csrf: token, _form: 'a-made-up-key', digest: 'x' })
    expect(answer.status).toBe(403)
  })

  it.each(['2026-12-01', '2026-02-30', 'monday'])('has no page for a week that begins on %s', async (start) => {
    const chair = await valley.signIn('amaru')
    const page = await chair.open(`/turns/weeks/${start}`)
    expect(page.status).toBe(404)
    expect(page.words).toContain('No week of this group begins on that day')
  })

  it('gives nobody more than the need and no weir more than was released', async () => {
    const week = await valley.db
      .selectFrom('publishedWeek')
      .selectAll()
      .where('weekStartOn', '=', '2026-11-23')
      .executeTakeFirstOrThrow()
    const inputs = JSON.parse(week.inputs)
    const results = JSON.parse(week.results)
    for (const share of results.shares) expect(share.allocatedM3).toBeLessThanOrEqual(share.needM3 + 1e-9)
    const weirOf = (pumpId: string) => inputs.pumps.find((pump: { id: string }) => pump.id === pumpId).weirId
    for (const weir of inputs.weirs) {
      const turns = results.turns.filter((turn: { pumpId: string }) => weirOf(turn.pumpId) === weir.id)
      const drunk = results.drinking.find((one: { weirId: string }) => one.weirId === weir.id).allocatedM3
      const drawn = turns.reduce((sum: number, turn: { volumeM3: number }) => sum + turn.volumeM3, drunk)
      expect(drawn).toBeLessThanOrEqual(weir.releasableM3 + 1e-6)
    }
  })
})

describe('a request for water', () => {
  it('is written in by the attendant for somebody else, and the book keeps who wrote it', async () => {
    const attendant = await valley.signIn('dovi')
    const form = await attendant.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Maro Teng')
    const page = await attendant.send(form, { plotId, weekStartOn: NEXT, volume: '2,5' })
    expect(page.words).toContain('Maro Teng')
    expect(page.words).toContain('Dovi Marrok')
    const row = await valley.db.selectFrom('waterRequest').selectAll().executeTakeFirstOrThrow()
    expect(row.volumeM3).toBe(2.5)
  })

  it('comes too late for a published week, and keeps what was typed', async () => {
    const member = await valley.signIn('hila')
    const form = await member.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila Quarm')
    const page = await member.send(form, { plotId, weekStartOn: '2026-11-23', volume: '3' })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#weekStartOn-error')?.text).toContain('already been published')
    expect(page.html.querySelector('#volume')?.getAttribute('value')).toBe('3')
  })

  it.each([
    ['0', 'from 0.01'],
    ['-3', 'from 0.01'],
    ['many', 'is not a number'],
  ])('of “%s” is answered beside the field', async (volume, words) => {
    const member = await valley.signIn('hila')
    const form = await member.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila Quarm')
    const page = await member.send(form, { plotId, weekStartOn: NEXT, volume })
    expect(page.html.querySelector('#volume-error')?.text).toContain(words)
    expect(await valley.db.selectFrom('waterRequest').select('entryId').execute()).toEqual([])
  })
})

describe('a standing request', () => {
  it('is not ended by a member who neither asked nor holds the plot', async () => {
    const hila = await valley.signIn('hila')
    const form = await hila.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila Quarm')
    const asked = await hila.send(form, { plotId, weekStartOn: NEXT, everyWeek: 'yes' })
    const action = asked.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    const goro = await valley.signIn('goro')
    const list = await goro.open('/turns/asked')
    expect(list.html.querySelector(`form[action="${action}"]`)).toBeNull()
    const token = list.html.querySelector('input[name=_csrf]')!.getAttribute('value')!
    const answer = await goro.agent.post(action).type('form').send({ _csrf: token, _form: 'made-up-key' })
    expect(answer.status).toBe(403)
  })
})
