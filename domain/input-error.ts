/**
 * Something a person may have mistyped. The code and its values are put into words by the pages,
 * through the message catalogue, so that the domain speaks no language.
 */
export class InputError extends Error {
  readonly code: string
  readonly values: Record<string, string | number>

  constructor(code: string, values: Record<string, string | number> = {}) {
    super(`${code} ${JSON.stringify(values)}`)
    this.name = 'InputError'
    this.code = code
    this.values = values
  }
}
