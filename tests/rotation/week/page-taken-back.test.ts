import { beforeEach, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

const NEXT = '2026-11-30'
const NOW = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

type Person = Awaited<ReturnType<typeof valley.signIn>>

async function publish(chair: Person) {
  const path = `/turns/weeks/${NEXT}/publish`
  return chair.send(await chair.open(path), {}, path)
}

async function takeBack(chair: Person) {
  return chair.fill(`/turns/weeks/${NEXT}/change?as=off`, { reason: 'The level of weir 2 was read wrong.' })
}

describe('a published week', () => {
  it('is a draft again once it was taken back, in every room, and is published anew as an entry of its own', async () => {
    const chair = await valley.signIn('amaru')
    const member = await valley.signIn('hila')
    const weir = await valley.db.selectFrom('weir').select('entryId').executeTakeFirstOrThrow()
    const rooms = ['/', '/turns/asked', '/turns/fair', '/crops?as=hurt', `/turns/working/given/${NEXT}/${weir.entryId}`]
    const seen = async () =>
      Promise.all([chair, member].flatMap((one) => rooms.map(async (room) => (await one.open(room)).words)))
    const before = await seen()
    expect((await publish(chair)).words).toContain('Take it back')
    expect(await seen()).not.toEqual(before)

    const draft = await takeBack(chair)
    expect(draft.words).toContain('A draft from the book as it stands now')
    expect(draft.words).toContain('Taken back by Amaru')
    expect(draft.words).toContain('The level of weir 2 was read wrong.')
    expect(await seen()).toEqual(before)
    expect((await chair.open(`/turns/weeks/${NEXT}/sheet`)).status).toBe(404)
    expect((await chair.open(`/turns/weeks/${NEXT}/change?as=off`)).status).toBe(409)

    expect((await publish(chair)).words).toContain('Published')
    const both = await valley.db.selectFrom('publishedWeek').select('entryId').where('weekStartOn', '=', NEXT).execute()
    expect(both).toHaveLength(2)
    expect((await chair.open(`/turns/weeks/${NEXT}`)).words).not.toContain('Two devices published')
    const kept = await chair.open(`/turns/weeks/${NEXT}/twice`)
    expect(kept.html.querySelectorAll('li').filter((one) => one.text.includes('Taken back by'))).toHaveLength(1)
    expect(kept.words).toContain('This one counts.')
    // Of one that stands alone there is nothing to choose.
    const form = { _csrf: kept.html.querySelector('[name=_csrf]')!.getAttribute('value')!, _form: 'unasked' }
    for (const { entryId } of both) {
      const chosen = await chair.agent.post(`/turns/weeks/${NEXT}/twice/${entryId}`).type('form').send(form)
      expect(chosen.status).toBe(404)
    }
  })

  it('stays once a turn of it has begun', async () => {
    const chair = await valley.signIn('amaru')
    const form = await chair.open(`/turns/weeks/${NOW}/change?as=off`)
    expect(form.status).toBe(409)
    expect(form.words).toContain('A turn of this week has begun')
  })

  it('can be taken back until the minute before its first turn, which is at seven', async () => {
    await publish(await valley.signIn('amaru'))
    const at = async (clock: string) => {
      valley.setNow(`${NEXT}T${clock}:00Z`)
      const form = await (await valley.signIn('amaru')).open(`/turns/weeks/${NEXT}/change?as=off`)
      return [form.status, form.words.includes('A turn of this week has begun')]
    }
    expect([await at('06:59'), await at('07:00')]).toEqual([
      [200, false],
      [409, true],
    ])
  })

  it.each([
    ['sheet for the board', `/turns/weeks/${NEXT}/sheet`],
    ['slips of a day', `/turns/weeks/${NEXT}/slips/${NEXT}`],
  ])('stays once somebody has opened its %s, whoever had the form open before', async (_, paper) => {
    const chair = await valley.signIn('amaru')
    await publish(chair)
    const form = await chair.open(`/turns/weeks/${NEXT}/change?as=off`)
    const entries = await valley.db.selectFrom('entry').select('id').execute()
    await (await valley.signIn('dovi')).open(paper)
    expect(await valley.db.selectFrom('entry').select('id').execute()).toEqual(entries)
    const refused = await chair.send(form, { reason: 'Too late.' }, `/turns/weeks/${NEXT}/change?as=off`)
    expect(refused.status).toBe(409)
    expect(refused.words).toContain('so the week may hang there and stays')
    expect((await chair.open(`/turns/weeks/${NEXT}`)).words).not.toContain('Take it back')
  })

  it('stays once something is written about one of its turns', async () => {
    const chair = await valley.signIn('amaru')
    await publish(chair)
    const turn = await valley.db.selectFrom('turn').select('id').where('onDate', '=', NEXT).executeTakeFirstOrThrow()
    await chair.fill(`/turns/${turn.id}/otherwise`, { clock: '08:00', through: 'her neighbour' })
    expect((await chair.open(`/turns/weeks/${NEXT}/change?as=off`)).words).toContain(
      'Somebody has written about a turn',
    )
  })

  it('is taken back by the committee alone', async () => {
    await publish(await valley.signIn('amaru'))
    const member = await valley.signIn('hila')
    expect((await member.open(`/turns/weeks/${NEXT}/change?as=off`)).status).toBe(403)
    expect((await member.open(`/turns/weeks/${NEXT}`)).words).not.toContain('Take it back')
  })
})
