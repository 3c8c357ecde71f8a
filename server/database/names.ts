/** The names of tables and columns are few, and asked for with every field of every entry. */
const written = new Map<string, string>()

/** A name of the code as it stands in the file: `volumeM3` is `volume_m3`. */
export function inFile(name: string): string {
  const known = written.get(name)
  if (known !== undefined) return known
  const own = name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)
  written.set(name, own)
  return own
}

/** A name of the file as the code writes it. */
export function inCode(name: string): string {
  return name.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase())
}
