/** Whether a process of this machine still runs: for files that carry the number of their owner. For Node only. */
export function isRunning(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: it runs, under another name.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}
