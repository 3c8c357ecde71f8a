import { expect } from 'vitest'
import { OWN_GROUP, startedBook, type TestBook } from '../support/book.ts'
import { type Fields, optionValue, type Seen, type Visitor } from '../support/visitor.ts'

/** A dish of medium sand, 2 m deep and 15 m wide on a bed of 2 per cent, with its mark half a metre above the crest. */
export const FIG_TREE: Fields = {
  number: '1',
  name: 'Fig tree',
  distance: '200',
  crestLevel: '100',
  crestHeight: '2',
  crestWidth: '15',
  bedSlope: '2',
  valleyShape: 'parabola',
  sandType: 'medium-sand',
  offTakeAboveBed: '0',
  markAboveCrest: '0.5',
  fromOn: '2026-06-01',
}

/** A dawn reading with the pump off since the evening: doubt of 2 cm and nothing odd. */
export const DAWN: Fields = { readOn: '2026-06-04', readAt: '06:10', pumpOffOn: '2026-06-03', pumpOffAt: '18:00' }

/** A started book with one weir; the clock stands at eight in the morning of 4 June 2026. */
export async function bookWithWeir(fields: Fields = {}) {
  const book = await startedBook('2026-06-04T05:00:00Z')
  const weir = await book.ada.fill('/water/weirs/new', { ...FIG_TREE, ...fields })
  expect(weir.status).toBe(200)
  return { ...book, weirPath: weir.path, weirId: weir.path.split('/').at(-1)! }
}

export async function readLevel(ada: Visitor, name: string, fields: Fields): Promise<Seen> {
  const form = await ada.open('/water/levels/new')
  return ada.send(form, { ...DAWN, weirId: optionValue(form, 'weirId', name), ...fields })
}

/** The figure of one line of a working, by the words of its label. */
export function workingValue(page: Seen, label: string): string {
  const row = page.html.querySelectorAll('tbody tr').find((one) => one.querySelector('th')?.text.includes(label))
  if (!row) throw new Error(`no line '${label}' on ${page.path}`)
  // Under the figure stands its date.
  return row.querySelector('td')!.childNodes[0]!.text.trim()
}

/** The sentence beside a field that was refused. */
export function errorBeside(page: Seen, field: string): string {
  return page.html.querySelector(`#${field}-error`)?.text ?? ''
}

/** The cells of a table, found by the words of its caption. */
export function tableRows(page: Seen, caption: string): string[][] {
  const table = page.html.querySelectorAll('table').find((one) => one.querySelector('caption')?.text.includes(caption))
  if (!table) throw new Error(`no table '${caption}' on ${page.path}`)
  const cells = (row: Seen['html']) => row.querySelectorAll('th, td').map((cell) => cell.text.trim())
  return table.querySelectorAll('tbody tr').map(cells)
}

/** A sign-in does not last for weeks. */
export async function signInAgain(ada: Visitor): Promise<void> {
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
}

const BELA = { signInName: 'bela', password: 'another long word' }

/** The second member of the committee, weeks later. */
export async function signedInAgainAsBela({ visitor }: Pick<TestBook, 'visitor'>): Promise<Visitor> {
  const bela = visitor()
  await bela.fill('/sign-in', BELA)
  return bela
}

/** A second member of the committee, signed in. */
export async function secondName({ visitor }: Pick<TestBook, 'visitor'>, ada: Visitor): Promise<Visitor> {
  await ada.fill('/people/new', {
    number: '2',
    name: 'Bela',
    roles: ['committee'],
    ...BELA,
  })
  return signedInAgainAsBela({ visitor })
}

/** Puts a name under what waits for one on a page. */
export async function putName(visitor: Visitor, path: string): Promise<Seen> {
  const page = await visitor.open(path)
  const form = page.html.querySelector('form[action^="/book/names/"]')
  if (!form) throw new Error(`nothing waits for this name on ${path}: ${page.words}`)
  return visitor.send(page, {}, form.getAttribute('action')!)
}
