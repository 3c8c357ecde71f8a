/** A name of the code as it stands in the file: `volumeM3` is `volume_m3`. */
export function inFile(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)
}

/** A name of the file as the code writes it. */
export function inCode(name: string): string {
  return name.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase())
}
