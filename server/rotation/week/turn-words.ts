import type { Id } from '../../../domain/id.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { turnsByDay } from './view.ts'

type Turn = ReturnType<typeof turnsByDay>[number]['turns'][number] & { missed?: string | null; inDoubt?: boolean }

/** What stands under a turn's name: where, which of several, whose; and loudly what became of it. */
export function turnWords({ t }: Pick<Desk, 't'>, officers: readonly Id<'plot'>[]) {
  return ({ outlet, place, plotId, ...turn }: Turn) => ({
    small: joined([
      outlet && t('week.outlet', { number: outlet.number }),
      outlet?.tank && t('tank-turn.mark', { number: outlet.tank.number }),
      place && t('week.turn-of', place),
      officers.includes(plotId) && t('week.officer-mark'),
    ]),
    strong: joined([turn.inDoubt && `▲ ${t('works.turn-in-doubt')}`, became(t, turn)]),
  })
}

function became(
  t: Desk['t'],
  { missed, droppedBy, amendment }: Omit<Turn, 'outlet' | 'place' | 'plotId'>,
): string | null {
  if (droppedBy) return t('week.amended-mark')
  if (missed) return t(`week.missed-mark-${missed}`)
  return amendment ? t('week.brought-in-mark') : null
}

function joined(words: (string | false | null | undefined)[]): string {
  return words.filter(Boolean).join(' · ')
}
