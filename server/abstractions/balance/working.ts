import type { M3 } from '../../../domain/units.ts'
import type { BalanceStretch } from '../../../domain/water/balance/stretches.ts'
import type { WeirDraw } from '../../water/asks.ts'
import type { SeasonBalance, WeirBalance } from '../../water/balance/state.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'

interface Opened {
  balance: SeasonBalance
  ofWeir: WeirBalance
  stretch: BalanceStretch
  t: Translate
  f: Format
}

/** One row of the balance with all that went into it, each draw with the door to its entry. */
export function stretchWorking(opened: Opened): Working {
  const { ofWeir, stretch, t, f } = opened
  const { kind, fromOn, toOn } = stretch
  const remainderM3 = kind === 'not-reckoned' ? stretch.notReckonedM3 : stretch.rechargeM3 || stretch.unexplainedM3
  const name = kind === 'not-reckoned' ? 'not-reckoned' : stretch.rechargeM3 > 0 ? 'recharge' : 'unexplained'
  return {
    title: 'abstractions.working.title',
    titleValues: { weir: ofWeir.weir.name, from: f.date(fromOn), to: f.date(toOn) },
    result: t(`abstractions.working.result-${name}`, {
      volume: f.volume(remainderM3),
      tolerance: f.volume(stretch.toleranceM3),
    }),
    doubt: t('abstractions.working.doubt', {
      sand: f.volume(
        Math.max(Math.abs(stretch.toleranceParts.yieldLowM3), Math.abs(stretch.toleranceParts.yieldHighM3)),
      ),
      level: f.volume(stretch.toleranceParts.levelM3),
      meter: f.volume(stretch.toleranceParts.meterM3),
      tolerance: f.volume(stretch.toleranceM3),
    }),
    lines: linesOf(opened),
    equation: t(`abstractions.working.equation-${kind}`),
    source: t('abstractions.working.source'),
    back: '/water/went',
  }
}

function linesOf({ balance, ofWeir, stretch, t, f }: Opened): WorkingLine[] {
  const { weir, lossCmPerDay } = ofWeir
  const line = (key: string, valueM3: M3, more: Partial<WorkingLine> = {}): WorkingLine => ({
    label: t(`abstractions.working.${key}`),
    value: t('abstractions.working.m3', { volume: f.toLitre(valueM3) }),
    ...more,
  })
  const draws = balance.abstractions.filter(
    (draw) => draw.weirId === weir.id && stretch.fromOn <= draw.onDate && draw.onDate < stretch.toOn,
  )
  const loss =
    lossCmPerDay === null
      ? t('abstractions.reason.loss-unknown')
      : t('abstractions.working.loss-rate', { rate: f.one(lossCmPerDay), days: stretch.days })
  return [
    line('opening', stretch.openingM3, { date: stretch.fromOn, href: `/water/weirs/${weir.id}` }),
    line('closing', stretch.closingM3, { date: stretch.toOn, href: `/water/weirs/${weir.id}` }),
    line('fall', stretch.fallM3),
    line('drawn', stretch.drawnM3, { source: t('abstractions.working.draws', { count: draws.length }) }),
    line('loss', stretch.lossM3, { source: loss }),
    {
      label: t('abstractions.working.rain-mark'),
      value: t('abstractions.working.mm', { rain: f.one(balance.rainMarkMm) }),
    },
    ...stretch.reasons.map((reason) => ({
      label: t('abstractions.working.remark'),
      value: t(`abstractions.reason.${reason}`),
    })),
    ...draws.map((draw) => drawLine(draw, t, f)),
  ]
}

function drawLine(draw: WeirDraw, t: Translate, f: Format): WorkingLine {
  return {
    label:
      draw.plotNumber === null
        ? t(`abstractions.use.${draw.use}`)
        : t('abstractions.plot-line', { number: draw.plotNumber }),
    value: t('abstractions.working.m3', { volume: f.toLitre(draw.volumeM3) }),
    date: draw.onDate,
    source: t(`abstractions.grade.${draw.grade}`),
    href: `/log/lines/drawn/${draw.id}`,
  }
}
