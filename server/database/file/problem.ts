import type { Values } from '../../web/figures/locale.ts'

/** Why a book cannot be opened or written, in the sentence `file.problem.<code>` for whoever runs it. */
export class BookProblem extends Error {
  readonly code: string
  readonly values: Values

  constructor(code: string, values: Values = {}) {
    super(code)
    this.code = code
    this.values = values
  }
}

/** What SQLite and the file system say, by the first letters of their codes. */
const CODES: [code: RegExp, problem: string][] = [
  [/^SQLITE_CANTOPEN|^ENOENT$|^EISDIR$|^ENOTDIR$/, 'cannot-open'],
  [/^SQLITE_NOTADB/, 'no-book'],
  [/^SQLITE_CORRUPT/, 'damaged'],
  [/^SQLITE_FULL|^SQLITE_IOERR_(WRITE|FSYNC)|^ENOSPC$|^EFBIG$/, 'full'],
  [/^SQLITE_READONLY|^EROFS$|^EACCES$|^EPERM$/, 'read-only'],
  [/^SQLITE_IOERR|^EIO$/, 'disk'],
  [/^SQLITE_BUSY|^SQLITE_LOCKED/, 'held'],
  [/^ERR_DLOPEN_FAILED$/, 'modules'],
  [/^(ECONN|ENOTFOUND|ETIMEDOUT|28|3D)/, 'no-database'],
]

/** The problem that an error tells of; null for a fault of the program itself. */
export function problemOf(error: unknown, place: string): BookProblem | null {
  if (error instanceof BookProblem) return error
  const code = String((error as { code?: unknown } | null)?.code ?? '')
  const found = CODES.find(([told]) => told.test(code))
  return found ? new BookProblem(found[1], { place, cause: code }) : null
}
