import type { Locale } from '../../web/figures/locale.ts'

export type NameOfCrop = (crop: { key: string; name: string }) => string

/** The name of a crop as pages write it: a printed one from the catalogue, one of the group's own as the group wrote it. */
export function cropNamer({ t, has }: Pick<Locale, 't' | 'has'>): NameOfCrop {
  return ({ key, name }) => (has(`crops.crop.${key}`) ? t(`crops.crop.${key}`) : name)
}
