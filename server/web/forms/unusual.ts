import { USUAL, type Usual, type UsualFigure } from './usual.ts'

/** Whether a figure is asked about, with the key and values of the sentence; null where it lies where most do. */
export function unusual(figure: UsualFigure, value: number) {
  const { least, most, words }: Usual = USUAL[figure]
  if (value >= least && value <= most) return null
  const [side, bound] = value > most ? ['more', most] : ['less', least]
  return {
    key: (side === 'more' && words) || 'error.unusual',
    values: { typed: value, side: String(side), bound: Number(bound) },
  }
}
