/** A profile over the link: sent in chunks and switched at once, or read back. */
import { crc32, fromBase64, toBase64 } from '../../shared/bytes';
import { refusalSentence } from '../../shared/link/host/refusals';
import { LINK_LIMITS } from '../../shared/link/methods';
import { type DecodedProfile, decodeProfile } from '../../shared/profile/image';
import { failed, refused } from '../failure';
import type { Client } from '../link/client';

/** Sends an image and makes it the active one. Until the last call the old profile runs on. */
export async function sendImage(
  client: Client,
  image: Uint8Array,
  id: number,
  stage: number | null,
  onProgress: (bytes: number) => void,
): Promise<{ slot: number; stage: number | null }> {
  await client.call('profile.begin', { bytes: image.length, crc: crc32(image) });
  for (let at = 0; at < image.length; at += LINK_LIMITS.profileChunkBytes) {
    const end = Math.min(image.length, at + LINK_LIMITS.profileChunkBytes);
    await client.call('profile.chunk', { offset: at, data: toBase64(image, at, end) });
    onProgress(end);
  }
  return client.call('profile.commit', { id, stage });
}

/** The image in a slot. Throws when what comes is not what the board says it holds. */
export async function readImage(client: Client, slot: number): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let at = 0;
  for (;;) {
    const { data, bytes } = await client.call('profile.read', { slot, offset: at });
    const part = fromBase64(data);
    if (part === null)
      throw failed('profile-unreadable', 'The board sent a damaged profile.', 'Try again.');
    parts.push(part);
    at += part.length;
    if (at >= bytes || part.length === 0) break;
  }
  const image = new Uint8Array(at);
  let to = 0;
  for (const part of parts) {
    image.set(part, to);
    to += part.length;
  }
  return image;
}

/** The active profile of the board, decoded. Refused when there is none. */
export async function readActive(client: Client): Promise<Extract<DecodedProfile, { ok: true }>> {
  const { slots } = await client.call('profile.slots', {});
  const active = slots.find((one) => one.active);
  if (active === undefined) {
    throw refused(
      'no-profile',
      'There is no profile on the board.',
      'Do `trayward profile load FILE`.',
    );
  }
  const decoded = decodeProfile(await readImage(client, active.slot));
  if (!decoded.ok) {
    const why = refusalSentence(decoded.reason, decoded.facts);
    throw failed(decoded.reason, why, 'Load the profile again.');
  }
  return decoded;
}
