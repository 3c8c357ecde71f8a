/**
 * What grows on a plot, as rules and drought stages tell plots apart, in the order in which a group is first asked about
 * them. Drinking and stock come before all of these.
 */
export const PLOT_CLASSES = ['nursery', 'perennials', 'food', 'market', 'late'] as const
export type PlotClass = (typeof PLOT_CLASSES)[number]
