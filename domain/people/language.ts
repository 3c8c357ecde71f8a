/** The digits that a person may choose, by the names of CLDR and of `-u-nu-` (UTS 35): Latin, Arabic-Indic, Devanagari. */
export const DIGITS = ['latn', 'arab', 'deva'] as const
export type Digits = (typeof DIGITS)[number]
