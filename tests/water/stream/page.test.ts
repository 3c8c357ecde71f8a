import { describe, expect, it } from 'vitest'
import { startedBook } from '../../support/book.ts'
import { bookWithWeir, FIG_TREE, readLevel, tableRows } from '../support.ts'

const OLD_FORD = {
  ...FIG_TREE,
  number: '2',
  name: 'Old ford',
  distance: '900',
  crestHeight: '1',
  offTakeAboveBed: '0.2',
}

describe('the long section of the stream', () => {
  it('is the first thing on the water page, with title, description and the same figures in a table', async () => {
    const { ada } = await bookWithWeir()
    await ada.fill('/water/weirs/new', OLD_FORD)
    await readLevel(ada, 'Fig', { depth: '120' })
    const page = await ada.open('/water')
    const first = page.html.querySelector('main')!.children[1]!
    expect(first.tagName).toBe('FIGURE')
    const svg = first.querySelector('svg')!
    expect(svg.querySelector('title')?.text).toBe('Long section of the stream')
    expect(svg.querySelector('desc')?.text).toContain('Weir 1: water 70 cm below the top of the wall.')
    expect(svg.querySelector('desc')?.text).toContain('Weir 2: no reading, so no water is drawn.')
    expect(tableRows(page, 'The same in figures')).toEqual([
      ['1 Fig tree', '200', '200', '70', '4 Jun 2026'],
      ['2 Old ford', '100', '80', 'no reading', ''],
    ])
  })

  it('draws the water to scale: 70 cm below a crest of 2 m is 35 hundredths down the wall', async () => {
    const { ada } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth: '120' })
    const svg = (await ada.open('/water')).html.querySelector('figure svg')!
    const wall = svg.querySelector('g .wall')!
    const heightY = Number(wall.getAttribute('height')) - 3 // the wall's foot goes three units into the bed
    const waterY = Number(svg.querySelector('.water-line')!.getAttribute('points')!.split(' ')[0]!.split(',')[1])
    expect((waterY - Number(wall.getAttribute('y'))) / heightY).toBeCloseTo(0.35, 2)
  })

  it('draws no water without a reading, but a mark that nobody read it', async () => {
    const { ada } = await bookWithWeir()
    const page = await ada.open('/water')
    expect(page.html.querySelector('.water-line')).toBeNull()
    expect(page.html.querySelectorAll('figure .weir-number').map((mark) => mark.text)).toContain('?')
  })

  it('needs neither script nor colour alone: every fill has its own pattern and word', async () => {
    const { ada } = await bookWithWeir({ offTakeAboveBed: '0.5' })
    await readLevel(ada, 'Fig', { depth: '120' })
    const page = await ada.open('/water')
    const fills = page.html.querySelectorAll('figure g polygon').map((shape) => shape.getAttribute('fill'))
    expect(fills).toEqual(['url(#sand-dots)', 'url(#water-lines)', 'url(#hand-lines)'])
    for (const words of ['dry sand', 'water that can be drawn', 'water below the foot pipe', 'foot pipe'])
      expect(page.html.querySelector('.picture-key')?.text).toContain(words)
    expect(page.text).not.toContain('<script')
  })
})

describe('the water page', () => {
  it('of an empty book says where to begin', async () => {
    const { ada } = await startedBook()
    const page = await ada.open('/water')
    expect(page.words).toContain('No weir is written in yet')
    expect(page.html.querySelector('a[href="/water/weirs/new"]')).not.toBeNull()
  })

  it('lists the weirs from head to tail whatever their numbers', async () => {
    const { ada } = await bookWithWeir()
    await ada.fill('/water/weirs/new', { ...OLD_FORD, number: '7', name: 'Spring', distance: '20' })
    const names = (await ada.open('/water')).html.querySelectorAll('.weir-words h2').map((one) => one.text.trim())
    expect(names).toEqual(['Weir 7, Spring', 'Weir 1, Fig tree'])
  })

  it('opens every volume to its working', async () => {
    const { ada, weirPath } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth: '120' })
    const page = await ada.open('/water')
    expect(page.html.querySelector(`a[href="${weirPath.replace('weirs', 'working/store')}"]`)).not.toBeNull()
    const working = await ada.open(weirPath.replace('weirs', 'working/store'))
    for (const words of ['Inputs, with their dates', 'How it is reckoned', 'Source:', 'Probing the sand'])
      expect(working.words).toContain(words)
  })
})
