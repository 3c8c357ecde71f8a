const NAMES = ['backup', 'verify', 'restore', 'merge', 'practice'] as const

/**
 * How the commands on the book are written where this program runs, for every sentence that names one: `runBackup` and so on, with
 * `dashes` before what is given to them. The folder of a stick has a tool of its own (`tool`, as it is written) and knows no npm.
 */
function commandsBy(tool: string | undefined): Record<string, string> {
  const before = tool ?? 'npm run'
  const named = NAMES.map((name) => [`run${name[0]!.toUpperCase()}${name.slice(1)}`, `${before} ${name}`])
  const isStick = tool !== undefined
  return { ...Object.fromEntries(named), dashes: isStick ? '' : ' --', isStick: isStick ? 'yes' : 'no' }
}

export const COMMANDS: Readonly<Record<string, string>> = commandsBy(process.env.COMMONWEIR_TOOL)
