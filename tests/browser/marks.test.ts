import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { drawingOf, PICTURES } from '../../domain/people/mark/pictures.ts'
import { FRAMES } from '../../domain/people/mark/types.ts'
import { describeInBrowser, openBrowser } from './chromium.ts'

/** A function as it stands in its file, without the sign before it. */
const INK = readFileSync(new URL('measuring/ink.js', import.meta.url), 'utf8').replace(/^[^;]*;/, '')
const PATIENCE_MS = 600_000
/** As small as a mark is ever shown. */
const SIDE_PX = 24
const EDGED_PX = SIDE_PX + 2
/** Two marks differ by at least so many whole pixels of ink; the nearest pair measured 34.2, a tree and a balloon in the ring. */
const LEAST_INK_PX = 33

const MARKS = FRAMES.flatMap((frame) => PICTURES.map(({ key }) => drawingOf({ picture: key, frame })))

describeInBrowser('the marks', () => {
  let browser: Awaited<ReturnType<typeof openBrowser>>
  let window: Page
  beforeAll(async () => {
    browser = await openBrowser()
    window = await browser.newPage()
  }, PATIENCE_MS)
  afterAll(() => browser.close())

  /** How dark each pixel of each mark is, 0 to 1, on a sheet of `side` pixels that shows `box`. */
  async function inked(box: string, side: number): Promise<number[][]> {
    const pictures = MARKS.map(({ frame, transform, paths }) => svgOf({ frame, transform, paths, box, side }))
    const sheets = await window.evaluate<string[]>(`(${INK})(${JSON.stringify({ pictures, side })})`)
    return sheets.map((sheet) => [...Buffer.from(sheet, 'base64')].map((dark) => dark / 255))
  }

  it('are 240, each with a word of its own', () => {
    expect(PICTURES).toHaveLength(60)
    expect(new Set(MARKS.map(({ key }) => key)).size).toBe(240)
  })

  it(
    'are told apart at the smallest size, also when one lies a pixel aside',
    async () => {
      const blurred = (await inked('0 0 32 32', SIDE_PX)).map(blur).map(withEdge)
      const near: string[] = []
      for (const [at, one] of blurred.entries()) {
        for (const [other, two] of blurred.entries()) {
          if (other <= at) continue
          const apart = leastApart(one, two)
          if (apart < LEAST_INK_PX) near.push(`${MARKS[at]!.key} ${MARKS[other]!.key} ${apart.toFixed(1)}`)
        }
      }
      expect(near).toEqual([])
    },
    PATIENCE_MS,
  )

  it(
    'lie within the circle that a ring is drawn on, but for a box and the ground, which go to the edge',
    async () => {
      const side = 80
      const sheets = await inked('-4 -4 40 40', side)
      const far = MARKS.filter(({ key }, at) => !/-(box|ground)$/.test(key) && farthest(sheets[at]!, side) > 16)
      expect(far.map(({ key }) => key)).toEqual([])
    },
    PATIENCE_MS,
  )
})

interface Drawn {
  frame: string | null
  transform: string
  paths: readonly string[]
  box: string
  side: number
}

function svgOf({ frame, transform, paths, box, side }: Drawn): string {
  const shapes = paths.map((path) => `<path d="${path}"/>`).join('')
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${box}" width="${side}" height="${side}" stroke="#000"
    stroke-width="1" stroke-linejoin="round" fill-rule="evenodd">${frame ? `<path d="${frame}"/>` : ''}
    <g transform="${transform}">${shapes}</g></svg>`
}

/** Weak eyes: a Gaussian of 0.8 px, across and then down. */
function blur(ink: readonly number[]): number[] {
  return blurAlong(blurAlong(ink, 1), SIDE_PX)
}

const WEIGHTS = [-3, -2, -1, 0, 1, 2, 3].map((step) => ({ step, weight: Math.exp(-(step * step) / (2 * 0.8 * 0.8)) }))
const WEIGHT_SUM = WEIGHTS.reduce((sum, { weight }) => sum + weight, 0)

function blurAlong(ink: readonly number[], stride: number): number[] {
  return ink.map((_, at) => {
    const place = Math.floor(at / stride) % SIDE_PX
    let sum = 0
    for (const { step, weight } of WEIGHTS) {
      if (place + step >= 0 && place + step < SIDE_PX) sum += weight * ink[at + step * stride]!
    }
    return sum / WEIGHT_SUM
  })
}

/** A sheet with a pixel of nothing around it, for another that lies aside. */
function withEdge(ink: readonly number[]): Float64Array {
  const edged = new Float64Array(EDGED_PX * EDGED_PX)
  for (const [at, dark] of ink.entries()) edged[placeOf(Math.floor(at / SIDE_PX), at % SIDE_PX)] = dark
  return edged
}

function placeOf(y: number, x: number): number {
  return (y + 1) * EDGED_PX + x + 1
}

/** Ink by which two sheets differ, in whole pixels: the least of nine ways to lay one on the other. */
function leastApart(one: Float64Array, two: Float64Array): number {
  const shifts = [-1, 0, 1].flatMap((right) => [-1, 0, 1].map((down) => down * EDGED_PX + right))
  return Math.min(...shifts.map((shift) => apart(one, two, shift)))
}

/** No more of it is counted once it is enough. */
function apart(one: Float64Array, two: Float64Array, shift: number): number {
  let sum = 0
  for (let y = 0; y < SIDE_PX && sum < LEAST_INK_PX; y++) {
    const from = placeOf(y, 0)
    for (let at = from; at < from + SIDE_PX; at++) sum += Math.abs(one[at]! - two[at + shift]!)
  }
  return sum
}

/** How far from the middle the outermost ink lies, in units of the drawing, of which the sheet shows 40. */
function farthest(ink: readonly number[], side: number): number {
  let most = 0
  for (const [at, dark] of ink.entries()) {
    if (dark > 0.5)
      most = Math.max(most, Math.hypot((at % side) + 0.5 - side / 2, Math.floor(at / side) + 0.5 - side / 2))
  }
  return (most * 40) / side
}
