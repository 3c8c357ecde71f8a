import { describe, expect, it } from 'vitest'
import type { Fields, Seen } from '../../support/visitor.ts'
import { bookWithWeir, errorBeside, readLevel, tableRows, workingValue } from '../support.ts'

/** Depths of sand under a level surface at 10 m, as lines of the form. */
const lines = (depthsM: number[]) => depthsM.map((depthM, at) => `${2 * at}; 10; ${10 - depthM}`).join('\n')

// The worked case of three sections with a tail (derived; straight lines between probes, average end area).
const THREE_SECTIONS: Fields = {
  crestLevel: '10',
  offTakeLevel: '8',
  markLevel: '10.5',
  section1Distance: '0',
  section1Lines: lines([0, 1.2, 2, 1.1, 0]),
  section2Distance: '20',
  section2Lines: lines([0, 0.8, 1.4, 0.9, 0]),
  section3Distance: '50',
  section3Lines: lines([0, 0.3, 0.6, 0.4, 0]),
  tail: '65',
  layer1Sand: 'gravelly-sand', // 20, 25 and 35 per cent drain
  fromOn: '2026-06-01',
}

const probed = async (fields: Fields = {}) => {
  const book = await bookWithWeir()
  const page = await book.ada.fill(`${book.weirPath}/sand?as=rod`, { ...THREE_SECTIONS, ...fields })
  return { ...book, page }
}

/** All figures of an attribute of what is drawn. */
const numbers = (figure: Seen['html'], selector: string, attribute: string) =>
  [
    ...figure
      .querySelector(selector)!
      .getAttribute(attribute)!
      .matchAll(/-?[\d.]+/g),
  ].map(Number)
const pairs = (flat: number[]) =>
  flat.flatMap((x, at) => (at % 2 === 0 ? [[x, flat[at + 1]!] as [number, number]] : []))

describe('a weir described by probed sections', () => {
  it('holds 299.5 m3 of wet sand and 74.9 m3 of water when full, as worked by hand', async () => {
    const { ada, page, weirPath } = await probed()
    expect(page.status).toBe(200)
    // Areas 8.6, 6.2 and 2.6 m2; (8.6 + 6.2) / 2 x 20 + (6.2 + 2.6) / 2 x 30 + 2.6 / 2 x 15 = 299.5 m3.
    expect(tableRows(page, 'Sections from the wall up').map((row) => row[3])).toEqual(['8.6', '6.2', '2.6', '0'])
    expect(page.words).toContain('Wet sand when full to the top of the wall300 m³')
    const full = tableRows(await ada.open(weirPath), 'Every 10 cm')[0]!
    expect(full).toEqual(['top of the wall 10', '50', '60', '75', '105']) // 299.5 x 0.20, 0.25 and 0.35
    await readLevel(ada, 'Fig', { depth: '50' })
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(workingValue(storage, 'Wet area of the section 20 m')).toBe('6.2 m²')
    expect(workingValue(storage, 'Water that drains from it')).toContain('– 75 –')
    expect(storage.words).toContain('Average end area')
    expect(storage.words).toContain('Grade: probed with a rod')
  })

  it('finds the crossing points half a metre down, which cutting off at the probes would miss', async () => {
    const { ada, weirPath } = await probed()
    await readLevel(ada, 'Fig', { depth: '100' })
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(workingValue(storage, 'Wet area of the section 0 m')).toBe('5.04 m²') // 5.035606
    expect(workingValue(storage, 'Wet area of the section 20 m')).toBe('2.79 m²') // 2.790278
    expect(workingValue(storage, 'Wet area of the section 50 m')).toBe('0.08 m²') // 0.083333
  })

  it.each([
    ['tabs and decimal commas', '0\t10,0\t10,0\n4\t10\t8,0\n8\t10\t10'],
    ['semicolons and a heading', 'offset;sand;bed\n0;10;10\n4;10;8\n8;10;10'],
    ['commas and points', '0,10,10\n4.0,10.0,8.0\n8,10,10'],
    ['spaces and decimal commas', '0 10,0 10\n4 10 8,0\n8 10 10'],
  ])('reads a paste with %s', async (_, text) => {
    const { page, db } = await probed({ section1Lines: text })
    expect(page.status).toBe(200)
    const points = await db.selectFrom('probedPoint').selectAll().where('chainageM', '=', 0).execute()
    expect(points.map((point) => [point.offsetM, point.sandLevelM, point.bedLevelM])).toEqual([
      [0, 10, 10],
      [4, 10, 8],
      [8, 10, 10],
    ])
  })

  it.each([
    ['section2Lines', '0; 10; 10\n2; ten; 9', 'Line 2: “ten” is not a number'],
    ['section2Lines', '0; 10; 10\n2; 10', 'Line 2: there are 2 figures, and 3 are needed'],
    ['section2Lines', '0; 10; 10\n2; 10; 9\n1; 10; 9', 'Line 3: 1 m is not farther from the left bank than the 2 m'],
    ['section3Lines', '0; 10; 10\n2; 9; 9.5', 'Line 2: the bed at 9.5 m would lie above the sand at 9 m'],
    ['section3Lines', '0; 10; 10', 'two probes or more'],
    ['section3Lines', '', 'both the distance and the probes'],
    ['section3Distance', '20', 'farther upstream than the one before'],
    ['tail', '50', 'farther upstream than the last section'],
    ['crestLevel', '7', 'above the deepest probe'],
    ['offTakeLevel', '10', 'between the deepest probe at 8 m and the top of the wall at 10 m'],
    ['markLevel', '8', 'above the deepest probe'],
    ['layer1Depth', '0.5', 'reaches down to the bed'],
    ['fromOn', '2026-06-05', 'still to come'],
    ['layer1Sand', '', 'Choose one'],
  ])('refuses %s “%s” beside the field, keeps all that was typed and writes nothing', async (field, typed, words) => {
    const { page, db } = await probed({ [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#section1Lines')?.text).toBe(THREE_SECTIONS.section1Lines)
    expect(await db.selectFrom('probedSurvey').selectAll().execute()).toEqual([])
    expect(await db.selectFrom('probedPoint').selectAll().execute()).toEqual([])
  })

  it('reckons layers of different sand from the surface down', async () => {
    const { ada, weirPath } = await probed({ layer1Depth: '0.5', layer2Sand: 'silt' })
    // Half a metre down the wet sand is 5.035606, 2.790278 and 0.083333 m2: 122.0 m3 of silt, of which 8 per cent drain,
    // and 299.5 - 122.0 = 177.5 m3 of gravelly sand above it, of which 25 per cent drain: 54.1 m3.
    expect(tableRows(await ada.open(weirPath), 'Every 10 cm')[0]![3]).toBe('54')
  })

  it('draws each section and the long section with title, description and the figures in a table', async () => {
    const { page } = await probed()
    const pictures = page.html.querySelectorAll('svg[role="img"]')
    expect(pictures).toHaveLength(4)
    for (const picture of pictures) {
      const [title, description] = picture.getAttribute('aria-labelledby')!.split(' ')
      expect(page.html.querySelector(`#${title}`)?.text).not.toBe('')
      expect(page.html.querySelector(`#${description}`)?.text).toContain('table below')
    }
    expect(tableRows(page, 'Probes of section 3')[2]).toEqual(['4', '10', '9.4', '0.6'])
  })

  it.each([
    { crestLevel: '10', depth: '100', waterM: 9.5 },
    { crestLevel: '10', depth: '0', waterM: 10 }, // Above the crest nothing is held.
    { crestLevel: '11', depth: '100', waterM: 9.5 },
  ])('draws to one scale, within its frame, and says how steep: $crestLevel, $depth cm down', async (drawn) => {
    const { ada, page: survey } = await probed({ crestLevel: drawn.crestLevel })
    await readLevel(ada, 'Fig', { depth: drawn.depth })
    const page = await ada.open(survey.path)
    const seen = [
      [
        [0, 2],
        [20, 1.4],
        [50, 0.6],
        [65, 0],
      ],
      ...[
        [0, 1.2, 2, 1.1, 0],
        [0, 0.8, 1.4, 0.9, 0],
        [0, 0.3, 0.6, 0.4, 0],
      ].map((depthsM) => depthsM.map((depthM, at) => [2 * at, depthM])),
    ]
    const figures = page.html.querySelectorAll('figure.long-section')
    expect(figures).toHaveLength(seen.length)
    for (const [place, figure] of figures.entries()) {
      const probes = seen[place]!
      const [, , width, height] = numbers(figure, 'svg', 'viewBox') as [number, number, number, number]
      const bed = pairs(numbers(figure, '.bed-line', 'points'))
      const [first, last] = [bed[0]!, bed.at(-1)!]
      const deepest = probes.findIndex(([, depthM]) => depthM === Math.max(...probes.map((one) => one[1]!)))
      const dry = probes.findIndex(([, depthM]) => depthM === 0)
      const acrossPerM = (last[0] - first[0]) / probes.at(-1)![0]!
      const downPerM = (bed[deepest]![1] - bed[dry]![1]) / probes[deepest]![1]!
      for (const [at, [alongM, depthM]] of probes.entries()) {
        expect(bed[at]![0]).toBeCloseTo(first[0] + acrossPerM * alongM!, 0)
        expect(bed[at]![1]).toBeCloseTo(bed[dry]![1] + downPerM * depthM!, 0)
      }
      // As much room on the right as on the left, and most of the frame filled.
      expect(width - last[0]).toBeCloseTo(first[0], 0)
      expect(last[0] - first[0]).toBeGreaterThan(0.9 * width)
      const [crestFrom, crestY, crestTo] = numbers(figure, '.stream-break', 'd') as [number, number, number]
      expect([crestFrom, crestTo]).toEqual([0, width])
      expect(crestY).toBeGreaterThan(0)
      expect(crestY).toBeCloseTo(bed[dry]![1] - downPerM * (Number(drawn.crestLevel) - 10), 0)
      expect(bed[deepest]![1]).toBeLessThan(height)
      expect(bed[deepest]![1] - crestY).toBeGreaterThan(0.75 * height)
      const water = pairs(numbers(figure, 'polygon[fill*="water"]', 'points'))
      // There and back: the surface of what is wet, then the bed below it; on dry sand the two are one.
      const wet = water.slice(0, water.length / 2).filter(([, y], at) => water.at(-1 - at)![1] - y > 0.5)
      expect(Math.min(...wet.map(([, y]) => y))).toBeCloseTo(bed[dry]![1] + downPerM * (10 - drawn.waterM), 0)
      const [, times, way] = /drawn ([\d.]+) times (steeper|flatter)/.exec(figure.text)!
      const steepness = downPerM / acrossPerM
      expect(way).toBe(steepness < 1 ? 'flatter' : 'steeper')
      expect(Number(times)).toBeCloseTo(Math.max(steepness, 1 / steepness), 0)
    }
  })

  it('leaves older weeks on the older description', async () => {
    const { ada, weirPath } = await bookWithWeir({ fromOn: '2026-05-01' })
    const before = await readLevel(ada, 'Fig', { depth: '150', readOn: '2026-05-20', pumpOffOn: '', pumpOffAt: '' })
    expect(before.words).toContain('most likely 37, at most')
    await ada.fill(`${weirPath}/sand?as=rod`, THREE_SECTIONS)
    expect((await ada.open(before.path)).words).toContain('most likely 37, at most')
    const weir = await ada.open(weirPath)
    expect(weir.words).toContain('From 1 Jun 2026: probed in 3 sections, down to 2 m below the top of the wall')
    expect(weir.words).toContain('From 1 May 2026: 2 m deep and 15 m wide')
  })

  it('makes room for more sections, up to twelve, and keeps it when the form comes back', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const form = await ada.open(`${weirPath}/sand?as=rod&room=12`)
    const page = await ada.send(form, { ...THREE_SECTIONS, section12Distance: '90', section12Lines: '0; 10; no' })
    expect(errorBeside(page, 'section12Lines')).toContain('Line 1: “no” is not a number')
    expect((await ada.open(`${weirPath}/sand?as=rod&room=many`)).html.querySelector('#section5Lines')).toBeNull()
  })

  it('begins a new survey with the last one, and takes silt scraped off as a new one', async () => {
    const { ada, weirPath } = await probed({ fromOn: '2026-06-01' })
    const form = await ada.open(`${weirPath}/sand?as=rod`)
    expect(form.html.querySelector('#section3Distance')?.getAttribute('value')).toBe('50')
    expect(form.html.querySelector('#section1Lines')?.text).toContain('4; 10; 8')
    const page = await ada.send(form, { tail: '60', fromOn: '2026-06-03' })
    expect(page.words).toContain('This is how the sand is described now')
    // The tail shortened by 5 m takes 2.6 / 2 x 5 = 6.5 m3 of wet sand away.
    expect(page.words).toContain('Wet sand when full to the top of the wall293 m³')
  })
})
