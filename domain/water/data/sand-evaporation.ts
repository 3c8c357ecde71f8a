/**
 * Evaporation from medium to coarse river sand as a share of that from open water, by depth of the water table.
 * Source: Hellwig 1973, Evaporation of water from sand, J. Hydrology 18, as commonly quoted; status: memory.
 * The last row is the depth from which several authors count nothing; it closes the table.
 */
export const SAND_EVAPORATION: readonly Readonly<{ waterTableDepthM: number; shareOfOpenWater: number }>[] = [
  { waterTableDepthM: 0, shareOfOpenWater: 0.92 },
  { waterTableDepthM: 0.3, shareOfOpenWater: 0.5 },
  { waterTableDepthM: 0.6, shareOfOpenWater: 0.1 },
  { waterTableDepthM: 1, shareOfOpenWater: 0 },
]
