/**
 * The profiles that a pulled journal was lived by: its entries name them by number alone, so their images are kept
 * beside it. A tray's bands and lids of last week can then still be told after another one was loaded.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodeProfile } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { makeFolder } from '../files/folder';
import type { Client } from '../link/client';
import { readImage } from '../profile/transfer';
import { controllerFolder } from './places';

/** The profiles that are known, by identifier, and the one in use now where the journal itself does not say. */
export interface KnownProfiles {
  readonly byId: ReadonlyMap<number, Profile>;
  readonly activeId: number | null;
}

const FOLDER = 'profiles';
const FILE_NAME = /^[0-9a-f]{8}\.image$/;
const fileName = (id: number): string => `${id.toString(16).padStart(8, '0')}.image`;

/** Keeps what lies in the board's slots, so far as it is not kept yet; the other slot has the profile before. */
export async function keepProfiles(client: Client, store: string, boardId: string): Promise<void> {
  const { slots } = await client.call('profile.slots', {});
  const folder = join(controllerFolder(store, boardId), FOLDER);
  for (const { slot, id } of slots) {
    if (id === null || existsSync(join(folder, fileName(id)))) continue;
    const image = await readImage(client, slot);
    const decoded = decodeProfile(image);
    if (!decoded.ok) continue;
    makeFolder(folder);
    writeFileSync(join(folder, fileName(decoded.id)), image);
  }
}

/** The images kept of a controller, as the board holds them. */
export function keptImages(store: string, boardId: string): readonly Uint8Array[] {
  const folder = join(controllerFolder(store, boardId), FOLDER);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((one) => FILE_NAME.test(one))
    .map((name) => new Uint8Array(readFileSync(join(folder, name))));
}

/** Profiles by number; an image that something has spoilt is left out. */
export function profilesOf(images: readonly Uint8Array[]): ReadonlyMap<number, Profile> {
  const kept = new Map<number, Profile>();
  for (const image of images) {
    const decoded = decodeProfile(image);
    if (decoded.ok) kept.set(decoded.id, decoded.profile);
  }
  return kept;
}

/** Those kept of a controller, by number. */
export const keptProfiles = (store: string, boardId: string): ReadonlyMap<number, Profile> =>
  profilesOf(keptImages(store, boardId));
