/** Shorter ones are refused already. */
const LEAST_SIGNS = 8

let read: Promise<ReadonlySet<string>> | undefined

/** The passwords that were found out most often, in small letters: a public list, read when somebody first chooses one. */
export function commonestPasswords(): Promise<ReadonlySet<string>> {
  read ??= import('@zxcvbn-ts/language-common').then(
    ({ dictionary }) => new Set(dictionary['passwords-common'].filter(({ length }) => length >= LEAST_SIGNS)),
  )
  return read
}
