import { canBeHeard, readOut, sendSpoken } from '../../people/voice/state.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { turnInBook } from '../published/turn-store.ts'
import { CANNOT_COME, turnSaid, weekSaid } from './state.ts'

/** A turn and a week's list in short sentences, to be read out by somebody or heard. */
export function addSpokenTurnPages({ get }: Pages): void {
  get('/turns/:id?as=aloud', 'turns.see', showTurn)
  get('/turns/:id.wav', 'turns.see', async (desk) => sendSpoken(desk, await ofTurn(desk)))
  get('/turns/cannot-come.wav', 'turns.see', (desk) => sendSpoken(desk, CANNOT_COME))
  get('/turns/weeks/:start?as=aloud', 'turns.see', showWeek)
  get('/turns/weeks/:start.wav', 'turns.see', async (desk) => sendSpoken(desk, await ofWeek(desk)))
}

async function ofTurn(desk: Desk<'id'>) {
  const { week, turn } = found(await turnInBook(desk.db, desk.params.id))
  return turnSaid(desk, week.turns, turn)
}

async function ofWeek(desk: Desk<'start'>) {
  return weekSaid(desk, found(await standingWeek(desk.db, desk.params.start)))
}

async function showTurn(desk: Desk<'id'>) {
  const sentences = await ofTurn(desk)
  const { id } = desk.params
  return page(desk, 'people/voice/aloud', {
    title: 'voice.read-aloud',
    lines: readOut(desk, sentences),
    hear: (await canBeHeard(desk, sentences)) ? { src: `/turns/${id}.wav`, label: 'voice.listen-turn' } : null,
    back: `/turns/${id}`,
  })
}

async function showWeek(desk: Desk<'start'>) {
  const sentences = await ofWeek(desk)
  const at = `/turns/weeks/${desk.params.start}`
  return page(desk, 'people/voice/aloud', {
    title: 'voice.read-aloud',
    lines: readOut(desk, sentences),
    hear: (await canBeHeard(desk, sentences)) ? { src: `${at}.wav`, label: 'voice.listen-week' } : null,
    back: at,
  })
}
