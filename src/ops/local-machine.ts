import { existsSync, linkSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { setTimeout as pause } from 'node:timers/promises'

/** Does a process with this number live, and is it, where the system tells, a `program`? */
export function isAlive(pid: number, program = ''): boolean {
  try {
    process.kill(pid, 0)
  } catch (error) {
    // Someone else's process: it lives, but it may not be touched.
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return false
  }
  const command = `/proc/${pid}/cmdline`
  return !existsSync(command) || readFileSync(command, 'utf8').includes(program)
}

export function isFree(port: number): Promise<boolean> {
  return new Promise(resolve => {
    const probe = createServer()
    probe.once('error', () => resolve(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => resolve(true)))
  })
}

/** A port on loopback that nothing listens on just now. */
export function pickPort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', reject)
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address()
      probe.close(() => (address && typeof address === 'object' ? resolve(address.port) : reject(new Error('no port'))))
    })
  })
}

/** Waits until no living process holds `file`, then holds it. The function it gives back lets it go. */
export async function takeTurn(file: string): Promise<() => void> {
  const own = `${file}.${process.pid}`
  writeFileSync(own, String(process.pid))
  const deadline = Date.now() + 90_000
  try {
    for (;;) {
      try {
        // A hard link appears whole, with the number in it.
        linkSync(own, file)
        return () => rmSync(file, { force: true })
      } catch (cause) {
        if (!holderLives(file)) rmSync(file, { force: true })
        else if (Date.now() > deadline) throw new Error(`Another start is stuck; its number is in ${file}.`, { cause })
        else await pause(50)
      }
    }
  } finally {
    rmSync(own, { force: true })
  }
}

function holderLives(file: string): boolean {
  if (!existsSync(file)) return false
  return isAlive(Number(readFileSync(file, 'utf8')), 'node')
}
