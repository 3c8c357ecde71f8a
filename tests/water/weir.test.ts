import { describe, expect, it } from 'vitest'
import { startedBook } from '../support/book.ts'
import { bookWithWeir, errorBeside, FIG_TREE, readLevel, workingValue } from './support.ts'

describe('the form of a weir', () => {
  it.each([
    ['crestHeight', '-2', 'from 0.2 to 15'],
    ['crestWidth', 'wide', 'is not a number'],
    ['crestWidth', '0', 'from 0.5 to 500'],
    ['bedSlope', '-1', 'from 0.05 to 30'],
    ['offTakeAboveBed', '2', 'must lie below the top of the wall'],
    ['markAboveCrest', '-2.5', 'under the bed'],
    ['valleyShape', 'bowl', 'Choose one'],
    ['sandType', 'snow', 'Choose one'],
    ['fromOn', '2026-06-05', 'still to come'],
    ['crestHeight', '', 'Please fill this in'],
  ])('refuses %s “%s” beside the field, keeps what was typed and writes nothing', async (field, typed, words) => {
    const { ada, db } = await startedBook()
    const form = await ada.open('/water/weirs/new')
    const page = await ada.send(form, { ...FIG_TREE, [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#name')?.getAttribute('value')).toBe('Fig tree')
    expect(await db.selectFrom('weir').selectAll().execute()).toEqual([])
    expect(await db.selectFrom('weirSurvey').selectAll().execute()).toEqual([])
  })

  it('refuses a number that is already taken', async () => {
    const { ada } = await bookWithWeir()
    const page = await ada.fill('/water/weirs/new', { ...FIG_TREE, name: 'Two rocks' })
    expect(errorBeside(page, 'number')).toContain('Number 1 is already taken')
  })

  it('takes a decimal comma, and an empty loss as not known', async () => {
    const { db } = await bookWithWeir({ bedSlope: '2,5' })
    const survey = await db.selectFrom('weirSurvey').selectAll().executeTakeFirstOrThrow()
    expect(survey.bedSlope).toBeCloseTo(0.025, 12)
    expect(survey.lossCmPerDay).toBeNull()
  })

  it('is closed to a member', async () => {
    const { ada, visitor } = await bookWithWeir()
    const password = 'another long word'
    await ada.fill('/people/new', {
      number: '2',
      name: 'Bela',
      roles: ['member'],
      signInName: 'bela',
      password,
    })
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password })
    expect((await bela.open('/water/weirs/new')).status).toBe(403)
    expect((await bela.open('/water/levels/new')).status).toBe(403)
    expect((await bela.open('/water')).status).toBe(200)
  })

  it('carries the cautions about holes, chambers and floods', async () => {
    const { ada } = await startedBook()
    const caution = (await ada.open('/water/weirs/new')).html.querySelector('.caution')?.text
    for (const danger of ['bury a person', 'air can kill', 'Floods']) expect(caution).toContain(danger)
  })
})

describe('the page of a weir', () => {
  it('shows the level-volume table every 10 cm from crest to bed, by the law of a wedge', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await ada.open(weirPath)
    const table = page.html.querySelectorAll('table').find((one) => one.text.includes('Every 10 cm'))!
    const rows = table
      .querySelectorAll('tbody tr')
      .map((row) => row.querySelectorAll('th, td').map((cell) => cell.text))
    expect(rows).toHaveLength(21) // 2 m in steps of 10 cm, both ends
    // Full: 15 x 2 x 2 / 0.02 x 4/15 = 800 m3 of sand, of which 15, 26 and 32 per cent drain (Johnson 1967).
    // The shape may hold half or twice that: √(ln² 2 + ln² 0.577) = 0.885 and √(ln² 2 + ln² 1.231) = 0.724, so 0.413 to 2.062 times.
    expect(rows[0]).toEqual(['top of the wall 100', '50', '86', '208', '429'])
    // Half way up a dish still holds 0.5^2.5 = 0.1767767 of it (derived by integration).
    expect(rows[10]).toEqual(['99', '150', '15', '37', '76'])
    expect(rows[20]![0]).toContain('98')
    expect(rows[20]!.slice(2)).toEqual(['0', '0', '0'])
  })

  it('says why it cannot say and what is safe to do before the first reading', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await ada.open(weirPath)
    expect(page.words).toContain('Cannot say. Nobody has written in a level reading.')
    expect(page.words).toContain('plan nothing from this weir but drinking water')
    expect((await ada.open(weirPath.replace('weirs', 'working/store'))).words).toContain(
      'Cannot say what stands in weir 1.',
    )
  })

  it('is not found for a weir that is not there', async () => {
    const { ada } = await startedBook()
    for (const path of [
      '/water/weirs/none',
      '/water/working/store/none',
      '/water/working/kept/none',
      '/water/weirs/none/sand',
    ])
      expect((await ada.open(path)).status).toBe(404)
  })
})

describe('a new survey', () => {
  it('begins with the measures of the last and leaves older readings on the older survey', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const before = await readLevel(ada, 'Fig', { depth: '150', readOn: '2026-06-02', pumpOffOn: '', pumpOffAt: '' })
    expect(before.words).toContain('most likely 37, at most')
    const form = await ada.open(`${weirPath}/sand`)
    expect(form.html.querySelector('#bedSlope')?.getAttribute('value')).toBe('2')
    // The wall is raised by half a metre and the mark painted anew, 20 cm higher; the bed stays.
    const raised = { crestLevel: '100.5', crestHeight: '2.5', markAboveCrest: '0.2', fromOn: '2026-06-04' }
    const weir = await ada.send(form, raised)
    expect(weir.words).toContain('From 4 Jun 2026: 2.5 m deep')
    expect(weir.words).toContain('From 1 Jun 2026: 2 m deep')
    expect((await ada.open(before.path)).words).toContain('most likely 37, at most')
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(workingValue(storage, 'Water level: mark less reading')).toBe('99 m')
    expect(workingValue(storage, 'Depth of the sand')).toBe('2.5')
    // The same level, 1 m above the bed: 15 x 2.5 x 2.5 / 0.02 x 4/15 x (1/2.5)^2.5 = 126.49 m3 of sand.
    expect(workingValue(storage, 'Wet sand, bed to water level')).toBe('126 m³')
  })

  it('refuses an impossible measure beside its field', async () => {
    const { ada, weirPath, db } = await bookWithWeir()
    const page = await ada.fill(`${weirPath}/sand`, { crestHeight: '-1' })
    expect(errorBeside(page, 'crestHeight')).toContain('from 0.2 to 15')
    expect(await db.selectFrom('weirSurvey').selectAll().execute()).toHaveLength(1)
  })
})
