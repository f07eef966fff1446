/** A deadline for what the system may never finish. */

/** Settles like `work`, or throws `late()` after `ms`. Whatever `work` brings then goes to `discard`. */
export async function within<T>(
  ms: number,
  work: Promise<T>,
  late: () => Error,
  discard: (value: T) => void,
): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  let isLate = false;
  const deadline = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      isLate = true;
      reject(late());
    }, ms);
  });
  work.then(
    (value) => {
      if (isLate) discard(value);
    },
    () => undefined,
  );
  try {
    return await Promise.race([work, deadline]);
  } finally {
    clearTimeout(timer);
  }
}
