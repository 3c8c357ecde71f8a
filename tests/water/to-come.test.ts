import { describe, expect, it } from 'vitest'
import type { Fields } from '../support/visitor.ts'
import { bookWithWeir, errorBeside } from './support.ts'

const TODAY = '2026-06-04'
const TOMORROW = '2026-06-05'

const CHAMBER: Fields = { shape: 'round', across: '1.5', depth: '3', rimAboveCrest: '0', stopBelowRim: '200' }
const REFILL: Fields = { rest: '40', readings: '0; 160\n40; 90' }
const SECTIONS: Fields = {
  ...{ crestLevel: '10', offTakeLevel: '8', markLevel: '10.5', tail: '65', layer1Sand: 'gravelly-sand' },
  ...{ section1Distance: '0', section1Lines: '0; 10; 10\n4; 10; 8\n8; 10; 10' },
  ...{ section2Distance: '20', section2Lines: '0; 10; 10\n4; 10; 8.6\n8; 10; 10' },
}

describe('what was seen or measured at a weir', () => {
  it('may be of today, and not of tomorrow', async () => {
    const { ada, weirPath, weirId } = await bookWithWeir()
    const forms: [path: string, day: string, fields: Fields][] = [
      [`${weirPath}/chamber`, 'fromOn', CHAMBER],
      [`${weirPath}/refill`, 'testedOn', REFILL],
      [weirPath.replace('weirs', 'settle/loss'), 'fromOn', { lossCmPerDay: '1', words: 'rests of May' }],
      [`${weirPath}/table`, 'fromOn', { rows: '100; 150; 200; 250\n98; 0; 0; 0', words: 'two seasons' }],
      ['/water/walls/new', 'seenOn', { weirId, part: 'wall', state: 'sound', found: 'No crack.' }],
      [`${weirPath}/sand?as=rod`, 'fromOn', SECTIONS],
    ]
    for (const [path, day, fields] of forms) {
      const early = await ada.fill(path, { ...fields, [day]: TOMORROW })
      expect([early.status, errorBeside(early, day)], path).toEqual([422, expect.stringMatching(/to come|yet/)])
      const form = await ada.fill(path, { ...fields, [day]: TODAY })
      expect([form.status, errorBeside(form, day)], path).toEqual([200, ''])
      expect(form.path, path).not.toBe(path)
    }
  })
})
