/** What may hurt somebody, by the words that must stand where the work is; the pages and prints that lead to such work. */
export const DANGERS: { danger: string; words: RegExp; pages: string[]; prints: string[] }[] = [
  {
    danger: 'the air of a chamber',
    words: /air[^.]* can kill/,
    pages: ['/water/levels/new', '/water/working/chamber/:weir', '/log/round?moment=dawn', '/works/pumps/new'],
    prints: ['/paper/levels', '/water/weirs/:weir/board'],
  },
  {
    danger: 'a flood',
    words: /[Ff]loods? come|rain may fall upstream/,
    pages: ['/water', '/water/weirs/:weir', '/water/levels/new', '/log/round?moment=dawn', '/water/walls/new'],
    prints: ['/paper/levels', '/water/weirs/:weir/board'],
  },
  {
    danger: 'electricity beside water',
    words: /Electricity beside water kills/,
    pages: [
      '/works/pumps/new',
      '/log/round?as=meter',
      '/log/meter',
      '/log/faults/service',
      '/log/faults/mended',
      '/log/tests/bucket',
      '/log/round?moment=dusk',
    ],
    prints: ['/paper/pump-log', '/paper/pump-readings', '/paper/flow-tests'],
  },
  {
    danger: 'the weight of a tank',
    words: /weighs a tonne/,
    pages: ['/works/tanks/new', '/works?as=tanks'],
    prints: [],
  },
  {
    danger: 'climbing and entering a tank, at dusk too',
    words: /[Nn]obody climbs|Nobody climbs or enters/,
    pages: ['/works/tanks/new', '/log/round?as=tank', '/log/round?as=tank-day', '/log/round?moment=dusk'],
    prints: ['/paper/tanks'],
  },
  {
    danger: 'a pit in the dark',
    words: /in the dark/,
    pages: ['/log/tests/night', '/log/round?as=tank', '/log/round?moment=dusk'],
    prints: ['/paper/tanks'],
  },
  {
    danger: 'a hole in wet sand',
    words: /hole[^.]* (can fall in|slide)|Wet sand[^.]* slide/,
    pages: ['/water/weirs/:weir/sand?as=rod', '/water/weirs/new', '/water/walls/new'],
    prints: [],
  },
  { danger: 'a wall that fails', words: /Walls fail from below/, pages: ['/water/walls/new'], prints: [] },
  {
    danger: 'water that nobody treated',
    words: /not safe|not drinking water/,
    pages: ['/water', '/water/kept/count', '/log/water?use=drinking', '/works?as=tanks'],
    prints: [],
  },
  { danger: 'fuel', words: /Fuel is kept locked/, pages: ['/log/faults/service', '/works/pumps/new'], prints: [] },
  { danger: 'chlorine', words: /Chlorine burns/, pages: ['/works/tanks/new', '/water/kept/count'], prints: [] },
  {
    danger: 'fertiliser and sprays',
    words: /Fertiliser and sprays stay out/,
    pages: ['/works/outlets/new'],
    prints: [],
  },
]
