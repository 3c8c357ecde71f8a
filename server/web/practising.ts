/** Whether this process is the practice valley and not a group's own book: nothing else is started under that name. */
export const IS_PRACTICE = /[/\\]practice\.[jt]s$/.test(process.argv[1] ?? '')

/** Cookies belong to the machine, whatever the port: those of the practice have names of their own, so that neither signs the other out. */
export function cookieName(name: string): string {
  return IS_PRACTICE ? `practice_${name}` : name
}
