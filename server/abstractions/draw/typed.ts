import { LITRES_PER_M3, type Litres } from '../../../domain/units.ts'
import type { Typed } from '../../web/forms/forms.ts'
import { figure, hoursTyped, inCm } from '../../web/forms/typed.ts'
import { placeValue } from '../place/store.ts'
import type { DrawMore } from './more-store.ts'
import type { Abstraction } from './store.ts'

/** The form of a draw as it stands in the book. */
export function typedOf(old: Abstraction, more: DrawMore, canLitres: Litres): Typed {
  return {
    opening: more.startUnread ? '' : figure(old.openingM3),
    startUnread: more.startUnread ? 'yes' : '',
    closing: figure(old.closingM3),
    hours: old.hours === null ? '' : hoursTyped(old.hours),
    ...volumeTyped(old, canLitres),
    place: placeValue(old),
    plotId: old.plotId ?? '',
    startTime: old.startTime ?? '',
    endTime: old.endTime ?? '',
    takerId: old.takerId ?? '',
    onDate: old.onDate,
    remark: old.remark ?? '',
    ...typedMore(more),
  }
}

function typedMore({ sky, standIn, slipNo, events, tool, seconds }: DrawMore): Typed {
  return {
    sky: sky ?? '',
    standIn: standIn ?? '',
    slipNo: figure(slipNo),
    events,
    oldLast: figure(tool?.oldLastM3),
    newFirst: figure(tool?.newFirstM3),
    newSerial: tool?.newSerial ?? '',
    newDigits: figure(tool?.newDigits),
    containerLitres: figure(tool?.containerLitres),
    tankArea: figure(tool?.tankAreaM2),
    tankRise: tool?.tankRiseM == null ? '' : inCm(tool.tankRiseM),
    ...Object.fromEntries(seconds.map((timing, at) => [`seconds${at + 1}`, String(timing)])),
  }
}

/** Only jerrycans count as measured, so that is what a measured volume was. */
function volumeTyped({ method, grade, volumeM3 }: Abstraction, canLitres: Litres): Typed {
  const counted = method === 'volume' && grade === 'measured'
  const volume = counted ? (volumeM3 * LITRES_PER_M3) / canLitres : volumeM3
  return { volume: String(Math.round(volume * 1e6) / 1e6), unit: counted ? 'jerrycans' : 'm3' }
}
