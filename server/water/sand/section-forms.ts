import { SEDIMENT_YIELDS } from '../../../domain/water/data/specific-yield.ts'
import { date, type Field, lines, number, optional, orUnknown, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const MOST_SECTIONS = 12
const USUAL_SECTIONS = 4

const sandType = () => select(SEDIMENT_YIELDS.map(({ sediment }) => sediment))
const layerDepth = () => optional(number({ min: 0.05, max: 15 }, 'depth of a layer, m'))

/** The form with room for so many sections. */
export function sectionForm(sections: number) {
  const slots: Record<string, Field<string | null> | Field<number | null>> = {}
  for (let at = 1; at <= roomFor(sections); at++) {
    slots[`section${at}Distance`] = optional(number({ min: 0, max: 5000 }))
    slots[`section${at}Lines`] = optional(lines({ max: 20_000 }))
  }
  return defineForm('storage.sections', {
    crestLevel: orUnknown(number({ min: -500, max: 9000 })),
    offTakeLevel: orUnknown(number({ min: -500, max: 9000 })),
    markLevel: orUnknown(number({ min: -500, max: 9000 })),
    ...(slots as Record<`section${number}Distance`, Field<number | null>> &
      Record<`section${number}Lines`, Field<string | null>>),
    tail: optional(number({ min: 0, max: 20_000 })),
    layer1Sand: sandType(),
    layer1Depth: layerDepth(),
    layer2Sand: optional(sandType()),
    layer2Depth: layerDepth(),
    layer3Sand: optional(sandType()),
    loss: optional(number({ min: -5, max: 20 }, 'loss of the sand, cm a day')),
    fromOn: date(),
  })
}

export function roomFor(sections: number): number {
  return Number.isInteger(sections) ? Math.min(MOST_SECTIONS, Math.max(USUAL_SECTIONS, sections)) : USUAL_SECTIONS
}
