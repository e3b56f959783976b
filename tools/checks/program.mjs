import { spawn } from 'node:child_process'

/** Runs a program without a shell. Gives its exit code and all it printed. */
export function outputOf(program, args, options = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { ...options, stdio: ['ignore', 'pipe', 'pipe'] })
    let stdout = ''
    let stderr = ''
    child.stdout.on('data', chunk => {
      stdout += chunk
    })
    child.stderr.on('data', chunk => {
      stderr += chunk
    })
    child.once('error', reject)
    child.once('close', code => resolve({ code, stdout, stderr }))
  })
}

/** The same for a script of a package. */
export const outputOfScript = (script, ...args) => outputOf(process.execPath, [`node_modules/${script}`, ...args])

/** A check's problems: none when the program ended well, otherwise what it said. */
export async function problemsOf(script, ...args) {
  const { code, stdout, stderr } = await outputOfScript(script, ...args)
  return code === 0 ? [] : [`${stdout}${stderr}`.trim() || `${script} ended with ${code}`]
}
