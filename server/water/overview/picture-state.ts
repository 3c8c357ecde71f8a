import { longSectionGeometry } from '../../../domain/water/sand/long-section.ts'
import { levelsOf } from '../sand/description.ts'
import type { WaterState } from '../storage/state.ts'

/** Narrow enough to be read at its own size on a small phone. */
const PICTURE_WIDTH = 400
const PICTURE_HEIGHT_PER_WEIR = 64

/** The long section of the stream by the last readings; weirs whose sand nobody described are left out and named. */
export function streamPicture(states: readonly WaterState[]) {
  const drawn = states.flatMap((state) => (state.body && state.survey ? [drawnWeir(state, state.survey)] : []))
  if (drawn.length === 0) return null
  const weirs = drawn.map(({ body, weir, waterLevelM, offTakeLevelM }) => {
    return { weirId: weir.id, body: body!, waterLevelM, offTakeLevelM }
  })
  const height = 110 + PICTURE_HEIGHT_PER_WEIR * drawn.length
  const section = longSectionGeometry({ weirs, width: PICTURE_WIDTH, height })
  const reaches = section.reaches.map((reach) => {
    const { weir, waterLevelM } = drawn.find((one) => one.weir.id === reach.weirId)!
    return { ...reach, number: weir.number, isRead: waterLevelM !== null }
  })
  return { section: { ...section, reaches }, drawn, undrawn: states.filter(({ body }) => !body) }
}

function drawnWeir(state: WaterState, survey: NonNullable<WaterState['survey']>) {
  const waterLevelM = state.storage.cannotSay ? null : state.storage.waterLevelM
  return { ...state, ...levelsOf(survey), waterLevelM }
}
