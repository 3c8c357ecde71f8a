import { ANIMALS } from './animals.ts'
import { GOING } from './going.ts'
import { HOUSE } from './house.ts'
import { LAND } from './land.ts'
import type { Frame, Picture } from './types.ts'

/** The pictures that people choose from: common things without faith, party, rank, crop or sign of this book. */
export const PICTURES = [...LAND, ...ANIMALS, ...HOUSE, ...GOING]
export type PictureKey = (typeof PICTURES)[number]['key']

/** A picture in a frame: what stands for one person beside the number. */
export interface Mark {
  picture: PictureKey
  frame: Frame
}

const BY_KEY = new Map<string, Picture>(PICTURES.map((picture) => [picture.key, picture]))

/** Whether there is a picture of that name. */
export function isPicture(key: string): key is PictureKey {
  return BY_KEY.has(key)
}

/** One word for a mark, as forms send it and drawings are called: `fish`, `fish-ring`. */
export function markKey({ picture, frame }: Mark): string {
  return frame === 'bare' ? picture : `${picture}-${frame}`
}

const RING =
  'M0.6 16a15.4 15.4 0 1 1 30.8 0a15.4 15.4 0 1 1 -30.8 0zM1.5 16a14.5 14.5 0 1 1 29 0a14.5 14.5 0 1 1 -29 0z'
const FRAME_PATHS: Record<Frame, string | null> = {
  bare: null,
  ring: RING,
  box: 'M0.9 0.9h30.2v30.2h-30.2zM2 2h28v28h-28z',
  ground: 'M2.2 29.6L29.8 29.6A0.7 0.7 0 0 1 29.8 31L2.2 31A0.7 0.7 0 0 1 2.2 29.6z',
}

interface MarkDrawing {
  key: string
  frame: string | null
  transform: string
  paths: readonly string[]
}

/** How a mark is drawn on a sheet of 32 by 32: the frame as it is, the picture moved and made smaller inside it. */
export function drawingOf(mark: Mark): MarkDrawing {
  const { place, paths } = BY_KEY.get(mark.picture)!
  const [scale, right, down] = place[mark.frame]
  return {
    key: markKey(mark),
    frame: FRAME_PATHS[mark.frame],
    transform: `translate(${right} ${down}) scale(${scale})`,
    paths,
  }
}
