/** What may hurt somebody, by the words that must stand where the work is; the pages and prints that lead to such work. */
export const DANGERS: { danger: string; words: RegExp; pages: string[]; prints: string[] }[] = [
  {
    danger: 'the air of a chamber',
    words: /air[^.]* can kill/,
    pages: ['/water/levels/new', '/water/weirs/:weir/chamber', '/log/round/new?moment=dawn', '/works/pumps/new'],
    prints: ['/paper/levels', '/water/weirs/:weir/table'],
  },
  {
    danger: 'a flood',
    words: /[Ff]loods? come|rain may fall upstream/,
    pages: [
      '/water',
      '/water/weirs/:weir',
      '/water/levels/new',
      '/log/round/new?moment=dawn',
      '/water/inspections/new',
    ],
    prints: ['/paper/levels', '/water/weirs/:weir/table'],
  },
  {
    danger: 'electricity beside water',
    words: /Electricity beside water kills/,
    pages: [
      '/works/pumps/new',
      '/works/pump-readings/new',
      '/works/meters/new',
      '/works/services/new',
      '/works/fault-fixes/new',
      '/works/flow-tests/new',
      '/log/round/new?moment=dusk',
    ],
    prints: ['/paper/pump-log', '/paper/pump-readings', '/paper/flow-tests'],
  },
  {
    danger: 'the weight of a tank',
    words: /weighs a tonne/,
    pages: ['/works/tanks/new', '/turns/tank-turns'],
    prints: [],
  },
  {
    danger: 'climbing and entering a tank, at dusk too',
    words: /[Nn]obody climbs|Nobody climbs or enters/,
    pages: ['/works/tanks/new', '/works/tank-readings/new', '/works/tank-days/new', '/log/round/new?moment=dusk'],
    prints: ['/paper/tanks'],
  },
  {
    danger: 'a pit in the dark',
    words: /in the dark/,
    pages: ['/log/night-tests/new', '/works/tank-readings/new', '/log/round/new?moment=dusk'],
    prints: ['/paper/tanks'],
  },
  {
    danger: 'a hole in wet sand',
    words: /hole[^.]* (can fall in|slide)|Wet sand[^.]* slide/,
    pages: ['/water/weirs/:weir/sections/new', '/water/weirs/new', '/water/inspections/new'],
    prints: [],
  },
  { danger: 'a wall that fails', words: /Walls fail from below/, pages: ['/water/inspections/new'], prints: [] },
  {
    danger: 'water that nobody treated',
    words: /not safe|not drinking water/,
    pages: ['/water', '/water/reserve/new', '/log/abstractions/new?use=drinking', '/turns/tank-turns'],
    prints: [],
  },
  { danger: 'fuel', words: /Fuel is kept locked/, pages: ['/works/services/new', '/works/pumps/new'], prints: [] },
  { danger: 'chlorine', words: /Chlorine burns/, pages: ['/works/tanks/new', '/water/reserve/new'], prints: [] },
  {
    danger: 'fertiliser and sprays',
    words: /Fertiliser and sprays stay out/,
    pages: ['/works/outlets/new'],
    prints: [],
  },
]
