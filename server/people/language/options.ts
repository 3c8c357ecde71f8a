import type { Option } from '../../web/pages/form-page.ts'
import { catalogues } from '../../web/words/catalogue.ts'

/** Each language by its own name. */
export function languageOptions(): Option[] {
  return catalogues().map(({ tag, name }) => ({ value: tag, label: name }))
}
