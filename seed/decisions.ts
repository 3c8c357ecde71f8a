import { addDays } from '../domain/calendar.ts'
import { appendEntry } from '../server/book/entries.ts'
import { NAME_NEEDED } from '../server/book/name-needed.ts'
import { approve } from '../server/book/names/approvals.ts'
import { penOf, type Scene } from './scene.ts'

/** The minute on which the rates of labour and produce rest, typed from the minute book yesterday evening and signed by a second. */
export async function writeMinutes(scene: Scene): Promise<void> {
  const on = addDays(scene.today, -1)
  const decision = {
    number: 'minute 7',
    metOn: addDays(scene.group.seasonStartOn, 12),
    body: 'meeting' as const,
    words: 'A day of work and a kilogram of dry onions are taken as payment, at the rates read out.',
    officersWords: null,
    present: 14,
    votesFor: 12,
    votesAgainst: 1,
    abstained: 1,
  }
  const id = await appendEntry(
    penOf(scene, 'Amaru Tolle', on, '20:45'),
    { kind: 'decision' },
    { decision: [decision], ...NAME_NEEDED },
  )
  await approve(penOf(scene, 'Besi Okuru', on, '20:50'), id)
}
