import { describe, expect, it } from 'vitest'
import { bookWithWeir, errorBeside, readLevel, secondName, signInAgain, tableRows, workingValue } from './support.ts'

const ROWS = '100; 150; 200; 250\n99; 30; 40; 50\n98; 0; 0; 0'
const WORDS = 'two seasons of pumping'
// A dish 2 m deep and 15 m wide on 2 per cent holds 800 m3 of medium sand, of which 26 per cent drain: 208 m3.
const written = async (fields = {}) => {
  const book = await bookWithWeir()
  const { ada, weirPath } = book
  const page = await ada.fill(`${weirPath}/table`, { fromOn: '2026-06-03', rows: ROWS, words: WORDS, ...fields })
  return { ...book, page }
}

describe('the level-volume table', () => {
  it('is printed for the board every 10 cm by the stick, with what can be drawn', async () => {
    const { ada, weirPath } = await bookWithWeir({ offTakeAboveBed: '1' })
    const rows = tableRows(await ada.open(`${weirPath}/board`), 'Every 10 cm')
    expect(rows).toHaveLength(21)
    // Full 208 m3, below the off-take 0.5^2.5 of it = 36.8 m3, so 171 m3 can be drawn. Half to twice
    // as much for the shape, 0.58 to 1.23 for the yield: e^-0.885 = 0.413 to e^0.724 = 2.062 times that.
    expect(rows[0]).toEqual(['50', '100 top of the wall', '171', '208 86–429'])
    expect(rows[10]).toEqual(['150', '99 foot pipe', '0', '37 15–76'])
  })

  it('counts for nothing until a second name stands under it', async () => {
    const { ada, page, weirPath, visitor } = await written()
    await readLevel(ada, 'Fig', { depth: '150' })
    expect(page.words).toContain('waits for a second name')
    expect(page.words).toContain('You wrote this yourself')
    expect(page.html.querySelector('main form')).toBeNull()
    expect(
      workingValue(await ada.open(weirPath.replace('weirs', 'working/store')), 'Water that drains from it'),
    ).toContain('– 37 –')
    const bela = await secondName({ visitor }, ada)
    const agreed = await bela.fill(page.path, {}, { action: page.path })
    expect(agreed.words).toContain('In force.')
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    // Read 2 cm either way: low 30 - 0.02 x 30, likely 40, high 50 + 0.02 x 200.
    expect(workingValue(storage, 'Water that drains from it')).toBe('29 – 40 – 54 m³')
    expect(workingValue(storage, 'Table at 99 m')).toBe('30 – 40 – 50 m³')
    expect(storage.words).toContain('Water by the accepted table')
    expect(storage.words).toContain('Grade: guessed')
    expect((await ada.open(`${weirPath}/board`)).words).toContain('Ada and Bela put their names under it')
  })

  it('counts as full above its highest row, and shows between which rows that was read', async () => {
    const { ada, page, weirPath, visitor } = await written({
      rows: '99.99; 150; 200; 250\n99; 30; 40; 50\n98; 0; 0; 0',
    })
    const bela = await secondName({ visitor }, ada)
    await bela.fill(page.path, {}, { action: page.path })
    await readLevel(ada, 'Fig', { depth: '50' })
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(workingValue(storage, 'Table at 99.99 m')).toBe('150 – 200 – 250 m³')
    expect(workingValue(storage, 'Table at 99 m')).toBe('30 – 40 – 50 m³')
  })

  it('refuses the writer’s own second name, by hand as well as by the button', async () => {
    const { ada, page, db } = await written()
    const form = await ada.open('/water/levels/new')
    const token = form.html.querySelector('input[name="_csrf"]')!.getAttribute('value')!
    const answer = await ada.agent.post(page.path).type('form').send({ _csrf: token, _form: 'aaaaaaaa' })
    expect(answer.status).toBe(409)
    expect(await db.selectFrom('approval').selectAll().execute()).toEqual([])
  })

  it('shows the old beside the new', async () => {
    const { page, ada, visitor } = await written()
    const both = [
      ['50', '100', '208', '200', '150–250'],
      ['150', '99', '37', '40', '30–50'],
      ['250', '98', '0', '0', '0'],
    ]
    expect(tableRows(page, 'The old beside the new')).toEqual(both)
    // What was old then stays so, once the new one rules.
    const bela = await secondName({ visitor }, ada)
    await bela.fill(page.path, {}, { action: page.path })
    expect(tableRows(await ada.open(page.path), 'The old beside the new')).toEqual(both)
  })

  it('leaves older weeks on the older table', async () => {
    const { ada, page, visitor } = await written({ fromOn: '2026-06-03' })
    const before = await readLevel(ada, 'Fig', { depth: '150', readOn: '2026-06-02', pumpOffOn: '', pumpOffAt: '' })
    const after = await readLevel(ada, 'Fig', { depth: '150' })
    const bela = await secondName({ visitor }, ada)
    await bela.fill(page.path, {}, { action: page.path })
    expect((await ada.open(before.path)).words).toContain('most likely 37, at most')
    expect((await ada.open(after.path)).words).toContain('most likely 40, at most')
  })

  it('may be declined by another, with the reason kept, and then never counts', async () => {
    const { ada, page, weirPath, visitor } = await written()
    const bela = await secondName({ visitor }, ada)
    const door = (await bela.open(page.path)).html.querySelector('a[href$="/withhold"]')!.getAttribute('href')!
    await bela.fill(door, { reason: 'the stick was moved' })
    const declined = await bela.open(page.path)
    expect(declined.words).toContain('Declined.')
    expect(declined.words).toMatch(/declined.*Bela.*the stick was moved|Bela declined.*the stick was moved/i)
    expect(declined.html.querySelector('form[action*="/names/"], a[href$="/withhold"]')).toBeNull()
    expect((await bela.open(door)).status).toBe(409)
    expect((await ada.open('/')).html.querySelector(`a[href="${page.path}"]`)).toBeNull()
    expect((await ada.open(weirPath)).words).not.toContain('table in force')
    expect((await ada.open(`${weirPath}/board`)).words).toContain('no table of the group’s own')
  })

  it.each([
    ['from later on', '2026-06-09'],
    ['from before it on', '2026-06-02'],
  ])('ends with a new survey %s', async (_, fromOn) => {
    const { ada, page, weirPath, visitor, setNow } = await written()
    const bela = await secondName({ visitor }, ada)
    await bela.fill(page.path, {}, { action: page.path })
    setNow('2026-06-10T05:00:00Z')
    await signInAgain(ada)
    await ada.fill(`${weirPath}/sand`, { fromOn })
    expect((await ada.open(page.path)).words).toContain('has been replaced')
    expect((await ada.open(`${weirPath}/board`)).words).toContain('no table of the group’s own')
  })

  it.each([
    ['rows', '100; 150; 200\n98; 0; 0; 0', 'Line 1: there are 3 figures, and 4 are needed'],
    ['rows', '100; 150; 200; 190\n98; 0; 0; 0', 'Line 1: write low, likely and high in this order'],
    ['rows', '100; 150; 200; 250\n99; 0; 0; 0\n98; 1; 2; 3', 'Line 2: more water would stand at a lower level'],
    ['rows', '100; 150; 200; 250\n100; 150; 200; 250\n98; 0; 0; 0', 'this level is there twice'],
    ['rows', '99.5; 150; 200; 250\n98; 0; 0; 0', 'from the bed at 98 m to the top of the wall at 100 m'],
    ['rows', '100; much; 200; 250\n98; 0; 0; 0', 'Line 1: “much” is not a number'],
    ['rows', '100; 150; 200; 250', 'two lines or more'],
    ['fromOn', '2026-05-31', 'The present survey holds from 1 Jun 2026'],
    ['fromOn', '2026-06-05', 'still to come'],
    ['words', '', 'Please fill this in'],
  ])('refuses %s “%s” beside the field and keeps what was typed', async (field, typed, words) => {
    const { page, db } = await written({ [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#rows')?.text).toBe(field === 'rows' ? typed : ROWS)
    expect(await db.selectFrom('levelVolumeTable').selectAll().execute()).toEqual([])
  })

  it('takes a paste with decimal commas', async () => {
    const { db, page } = await written({ rows: 'level\tlow\tlikely\thigh\n98\t0\t0\t0\n100,0\t150,5\t200\t250' })
    expect(page.status).toBe(200)
    const rows = await db.selectFrom('levelVolumeRow').selectAll().orderBy('levelM').execute()
    expect(rows.map((row) => row.lowM3)).toEqual([0, 150.5])
  })
})
