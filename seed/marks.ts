import { addDays } from '../domain/calendar.ts'
import type { Mark } from '../domain/people/mark/pictures.ts'
import { chooseMark } from '../server/people/mark/store.ts'
import { penOf, type Scene } from './scene.ts'
import { PERSONS } from './valley.ts'

const BARE: Partial<Record<Mark['picture'], string>> = {
  kettle: 'Amaru Tolle',
  tree: 'Besi Okuru',
  boat: 'Chandu Perle',
  bicycle: 'Dovi Marrok',
  ladder: 'Elu Santar',
  basket: 'Fanta Brisk',
  bee: 'Hila Quarm',
  leaf: 'Jaya Orrin',
  saw: 'Kelo Fasti',
  flower: 'Lumi Adder',
  tractor: 'Maro Teng',
  jug: 'Nadi Forro',
  feather: 'Pira Sollum',
  plough: 'Quelo Bant',
  button: 'Rasi Umbro',
  pot: 'Sefa Linder',
  cactus: 'Una Varrel',
  shovel: 'Vasco Nimb',
  bowl: 'Wela Hurst',
  bus: 'Xandi Pell',
  kite: 'Yaro Mint',
  stump: 'Zola Kest',
  barrow: 'Bilo Rand',
}
const FRAMED: [string, Mark][] = [
  ['Oban Crell', { picture: 'tree', frame: 'box' }],
  ['Timo Gast', { picture: 'kettle', frame: 'ring' }],
  ['Cora Ebb', { picture: 'boat', frame: 'ground' }],
]

/** Who goes by which mark. */
export const MARKS: readonly { name: string; mark: Mark }[] = [
  ...Object.entries(BARE).map(([picture, name]): { name: string; mark: Mark } => ({
    name,
    mark: { picture: picture as Mark['picture'], frame: 'bare' },
  })),
  ...FRAMED.map(([name, mark]) => ({ name, mark })),
]

/** Most people of the valley chose a mark at the meeting of yesterday evening; those who sign in wrote it themselves. */
export async function chooseMarks(scene: Scene): Promise<void> {
  const on = addDays(scene.today, -1)
  for (const { name, mark } of MARKS) {
    const isOwn = PERSONS.some((person) => person.name === name && person.signInName)
    const pen = penOf(scene, isOwn ? name : PERSONS[0]!.name, on, '20:30')
    const personId = scene.persons.get(name)!
    await chooseMark(pen, {
      personId,
      mark,
      fromOn: on,
      asked: isOwn ? null : 'meeting',
      putRight: '',
      season: scene.group,
    })
  }
}
