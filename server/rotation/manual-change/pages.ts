import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Filled } from '../../web/forms/forms.ts'
import { type FormPage, numberedOption } from '../../web/pages/form-page.ts'
import type { Words } from '../../web/pages/page.ts'
import { AnyTurnChangeForm, TurnAdditionForm, TurnChangeForm, WithdrawalForm } from './forms.ts'
import type { ChangeableTurn, ChangeableWeek } from './week.ts'

/** One turn of a week moved, lengthened or dropped. */
export function changePage(
  { format }: Pick<Words, 'format'>,
  { weekStartOn, isPublished }: ChangeableWeek,
  turn: ChangeableTurn,
  filled: Filled,
): FormPage {
  return {
    title: isPublished ? 'manual-change.amendment-title' : 'manual-change.change-title',
    titleValues: {
      plot: turn.plot?.number ?? '',
      day: format.weekday(turn.on),
      from: format.clock(turn.startMinute),
      volume: format.one(turn.volumeM3),
    },
    form: TurnChangeForm,
    filled,
    hidden: { turn: turn.id },
    action: `/turns/weeks/${weekStartOn}/change`,
    intro: [isPublished ? 'manual-change.amendment-intro' : 'manual-change.change-intro'],
    back: `/turns/weeks/${weekStartOn}`,
  }
}

/** A turn of a week that is still to be chosen, and what becomes of it. */
export function anyChangePage(
  { format }: Pick<Words, 'format'>,
  { weekStartOn, isPublished, turns }: ChangeableWeek,
  filled: Filled,
): FormPage {
  return {
    title: 'manual-change.changes-title',
    form: AnyTurnChangeForm,
    filled,
    options: {
      turn: turns.map(({ id, on, startMinute, plot }) => ({
        value: id,
        label: `${format.weekday(on)} ${format.clock(startMinute)}, ${plot ? `${plot.number} ${plot.holders.join(', ')}` : ''}`,
      })),
    },
    action: `/turns/weeks/${weekStartOn}/change`,
    intro: [isPublished ? 'manual-change.amendment-intro' : 'manual-change.change-intro'],
    back: `/turns/weeks/${weekStartOn}`,
  }
}

/** A turn that is added to a week. */
export function additionPage({ weekStartOn, isPublished, inputs }: ChangeableWeek, filled: Filled): FormPage {
  return {
    title: 'manual-change.addition-title',
    form: TurnAdditionForm,
    filled,
    options: {
      plotId: inputs.plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.holders.join(', ')}` })),
      outletId: inputs.outlets.map(numberedOption),
    },
    action: `/turns/weeks/${weekStartOn}/change?as=add`,
    intro: [isPublished ? 'manual-change.amendment-intro' : 'manual-change.change-intro'],
    back: `/turns/weeks/${weekStartOn}`,
  }
}

export function withdrawalPage(
  { id, weekStartOn }: { id: string; weekStartOn: CalendarDate },
  filled: Filled,
): FormPage {
  return {
    title: 'manual-change.withdrawal-title',
    form: WithdrawalForm,
    filled,
    action: `/turns/settle/take-back/${id}`,
    intro: ['manual-change.withdrawal-intro'],
    back: `/turns/weeks/${weekStartOn}`,
  }
}
