/** What can be told of a keeper's file without its secrets: its name, and what it wants of the environment. */
import { decodeUtf8 } from '../../../shared/bytes';
import { readSource } from '../../../shared/profile/host/source';
import { invalid, usage } from '../../failure';
import { readBounded } from '../../files/bounded-read';
import { FILE_LIMITS } from '../limits';
import { keepFile, secretPlace } from './schema';

function readValue(file: string | undefined): unknown {
  if (file === undefined) throw usage('Which file?', "Give the keeper's file, such as room.yaml.");
  const text = decodeUtf8(readBounded(file, FILE_LIMITS.fileBytes, "a keeper's file")) ?? '';
  const read = readSource(text, file);
  return read.ok ? read.source.value : null;
}

/** The name of the keeper of a file. Throws `CommandError` where it has none. */
export function keeperNameOf(file: string | undefined): string {
  const name = keepFile.shape.name.safeParse(Object(readValue(file)).name);
  if (name.success) return name.data;
  throw invalid('keep-invalid', `${file} is no keeper's file.`, 'See `trayward keep check FILE`.');
}

/** Names of variables that secrets are looked for in. */
export function secretVariables(file: string | undefined): readonly string[] {
  const { doors, heartbeat, page, sparkplug } = Object(readValue(file));
  const holders: readonly unknown[] = [
    ...(Array.isArray(doors) ? doors : []),
    heartbeat,
    page,
    sparkplug,
  ];
  return holders.flatMap((holder) =>
    Object.values(Object(holder)).flatMap((value) => {
      const place = secretPlace(value);
      return place?.from === 'env' ? [place.name] : [];
    }),
  );
}
