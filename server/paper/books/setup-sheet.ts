import { PLOT_WORDS } from '../../people/plot/paper.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'

/** Columns by their names, which are numbered on paper; `wide` ones are for words. */
interface SetupTable {
  name: string
  rows: number
  columns: readonly string[]
}

const ROWS = 17

/** Two pages on which a group writes what it begins with, in the columns in which it is typed in. More lines: one more copy. */
const PAGES: readonly (readonly SetupTable[])[] = [
  [
    { name: 'people', rows: ROWS, columns: ['number', 'name', 'phone', 'office'] },
    {
      name: 'plots',
      rows: ROWS,
      columns: ['number', 'name', 'who', 'area', 'soil', 'watering', 'shares', 'outlets'],
    },
  ],
  [
    {
      name: 'weirs',
      rows: 5,
      columns: ['number', 'name', 'metres', 'depth', 'width', 'slope', 'crest', 'off-take', 'mark', 'shape', 'sand'],
    },
    { name: 'pumps', rows: 5, columns: ['number', 'name', 'weir', 'flow', 'first-hour', 'last-hour', 'wheels'] },
    { name: 'outlets', rows: 12, columns: ['number', 'name', 'pump', 'litres', 'seconds'] },
    { name: 'crops', rows: 12, columns: ['plot', 'crop', 'area', 'sown'] },
  ],
]

export function addSetupSheetPage({ get }: Pages): void {
  get('/paper/setup-sheet', 'abstractions.see', showSetupSheet)
}

async function showSetupSheet(desk: Desk) {
  const { t, locale } = desk
  // The letter that a cell has room for, where there is one: the list that is typed in afterwards takes the same.
  const word = (kind: keyof typeof PLOT_WORDS, key: string) => {
    const letter = `many.letter.${kind}.${key}`
    return `${locale.has(letter) ? `${t(letter)} = ` : ''}${t(`people.plot.${kind}.${key}`)}`
  }
  const words = (kind: keyof typeof PLOT_WORDS) => PLOT_WORDS[kind].map((key) => word(kind, key)).join(', ')
  return page(desk, 'paper/setup-sheet', {
    title: 'paper.setup.title',
    pages: PAGES,
    soils: words('soil'),
    methods: words('method'),
  })
}
