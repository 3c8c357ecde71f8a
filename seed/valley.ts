import type { UserCount } from '../server/water/users/store.ts'

/** The example valley: an invented stream with invented people. Nothing here is a real place or person. */
export const PASSWORD = 'practice valley'

export const VALLEY = {
  name: 'Sandgrouse Stream water group',
  latitudeDeg: 11.2,
  longitudeDeg: -1.3,
  elevationM: 310,
  timeZone: 'Etc/GMT',
  currency: 'XOF',
  firstWeekday: 1,
  marketWeeks: [],
} as const

export const WEIRS = [
  {
    number: 1,
    name: 'Heron Bend',
    distanceM: 0,
    crestLevelM: 112.4,
    crestHeightM: 2.4,
    crestWidthM: 30,
    bedSlope: 0.004,
  },
  {
    number: 2,
    name: 'Stone Hem',
    distanceM: 640,
    crestLevelM: 107.3,
    crestHeightM: 2.1,
    crestWidthM: 27,
    bedSlope: 0.004,
  },
  {
    number: 3,
    name: 'Old Crossing',
    distanceM: 1380,
    crestLevelM: 102.1,
    crestHeightM: 2.8,
    crestWidthM: 30,
    bedSlope: 0.0045,
  },
  {
    number: 4,
    name: 'Lower Reed',
    distanceM: 2150,
    crestLevelM: 96.2,
    crestHeightM: 1.8,
    crestWidthM: 24,
    bedSlope: 0.004,
  },
] as const

/** Heads that drink at each weir, with litres a head a day. */
export const USERS: Record<number, UserCount[]> = {
  1: [
    { kind: 'person', heads: 54, litresPerHeadDay: 20 },
    { kind: 'goat-or-sheep', heads: 40, litresPerHeadDay: 5 },
  ],
  2: [
    { kind: 'person', heads: 38, litresPerHeadDay: 20 },
    { kind: 'pupil', heads: 85, litresPerHeadDay: 3 },
  ],
  3: [
    { kind: 'person', heads: 61, litresPerHeadDay: 20 },
    { kind: 'donkey', heads: 9, litresPerHeadDay: 12 },
  ],
  4: [
    { kind: 'person', heads: 47, litresPerHeadDay: 20 },
    { kind: 'cattle', heads: 36, litresPerHeadDay: 25 },
    { kind: 'goat-or-sheep', heads: 90, litresPerHeadDay: 5 },
  ],
}

/** One pump on each of the upper three weirs; the fourth is drawn by hand only. */
export const PUMPS = [
  { number: 1, name: 'Heron pump', weir: 1, usualFlowM3PerH: 6.2, meterStartsAtM3: 1482.4 },
  { number: 2, name: 'Hem pump', weir: 2, usualFlowM3PerH: 5.4, meterStartsAtM3: 863.1 },
  { number: 3, name: 'Crossing pump', weir: 3, usualFlowM3PerH: 7, meterStartsAtM3: 2950.75 },
] as const

/** The tank of the third weir, at its pump: people and animals there drink from it. */
export const TANK = { number: 1, name: 'Crossing tank', pump: 3, areaM2: 6, heightM: 1.2, startsWithM3: 1.5 } as const

/** Two outlets at the tail of its line, by gravity in the evening and at dawn; three days of drinking stay in it. */
export const TANK_TURNS = {
  outlets: [
    { outlet: 23, flowM3PerH: 2.6 },
    { outlet: 24, flowM3PerH: 2.3 },
  ],
  fromHour: 5,
  toHour: 20,
  keptM3: 4,
} as const

export const OUTLETS_PER_PUMP = 8

export const PERSONS: { name: string; roles: string[]; signInName?: string }[] = [
  { name: 'Amaru Tolle', roles: ['committee', 'member'], signInName: 'amaru' },
  { name: 'Besi Okuru', roles: ['committee', 'member'], signInName: 'besi' },
  { name: 'Chandu Perle', roles: ['committee', 'member'], signInName: 'chandu' },
  { name: 'Dovi Marrok', roles: ['attendant', 'member'], signInName: 'dovi' },
  { name: 'Elu Santar', roles: ['attendant', 'member'], signInName: 'elu' },
  { name: 'Fanta Brisk', roles: ['treasurer', 'member'], signInName: 'fanta' },
  { name: 'Goro Wenn', roles: ['auditor', 'member'], signInName: 'goro' },
  { name: 'Hila Quarm', roles: ['member'], signInName: 'hila' },
  { name: 'Isko Dabel', roles: ['neighbour'], signInName: 'isko' },
  ...[
    'Jaya Orrin',
    'Kelo Fasti',
    'Lumi Adder',
    'Maro Teng',
    'Nadi Forro',
    'Oban Crell',
    'Pira Sollum',
    'Quelo Bant',
    'Rasi Umbro',
    'Sefa Linder',
    'Timo Gast',
    'Una Varrel',
    'Vasco Nimb',
    'Wela Hurst',
    'Xandi Pell',
    'Yaro Mint',
    'Zola Kest',
    'Anik Torvo',
    'Bilo Rand',
    'Cora Ebb',
    'Deka Lusso',
  ].map((name) => ({ name, roles: ['member'] })),
]

export const PLOT_NAMES = ['by the fig', 'stony corner', 'below the path', 'long strip', 'near the bank', 'upper bed']

/** Tended by the school; protected by the rule. */
export const SCHOOL_PLOT = 40

/** What is grown, how it is watered, and how large the piece is that one household tends. */
export const PLANTINGS = [
  { cropKey: 'tomato', method: 'drip', areaM2: 240 },
  { cropKey: 'onion_dry', method: 'drip', areaM2: 280 },
  { cropKey: 'cabbage', method: 'drip', areaM2: 260 },
  { cropKey: 'pepper_bell', method: 'drip', areaM2: 200 },
  { cropKey: 'potato', method: 'sprinkler', areaM2: 220 },
  { cropKey: 'bean_green', method: 'hose_or_can', areaM2: 160 },
  { cropKey: 'eggplant', method: 'drip', areaM2: 230 },
  { cropKey: 'maize_sweet', method: 'surface', areaM2: 180 },
] as const
