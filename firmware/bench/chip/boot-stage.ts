/**
 * CRC-32 as the RP2040's ROM checks the boot stage with: polynomial 04C11DB7h, most significant bit
 * first, started at FFFFFFFFh, not inverted at the end (RP2040 data sheet 2.8.1.3.1).
 */
function bootStageCrc(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc = (crc ^ (byte << 24)) >>> 0;
    for (let bit = 0; bit < 8; bit += 1) {
      crc = ((crc & 0x80000000) !== 0 ? (crc << 1) ^ 0x04c11db7 : crc << 1) >>> 0;
    }
  }
  return crc;
}

/** The first page of flash, which the ROM checks and runs. */
export const BOOT_STAGE_BYTES = 256;
const CRC_OFFSET = 252;

/** The image with the boot stage's CRC written into its last four bytes. */
export function withBootStageCrc(image: Uint8Array): Uint8Array {
  const sealed = Uint8Array.from(image);
  const crc = bootStageCrc(sealed.subarray(0, CRC_OFFSET));
  for (let i = 0; i < 4; i += 1) {
    sealed[CRC_OFFSET + i] = (crc >>> (8 * i)) & 0xff;
  }
  return sealed;
}

/** Whether the ROM would accept this image. */
export function bootStageIsSound(image: Uint8Array): boolean {
  if (image.length < BOOT_STAGE_BYTES) {
    return false;
  }
  const crc = bootStageCrc(image.subarray(0, CRC_OFFSET));
  return [0, 1, 2, 3].every((i) => image[CRC_OFFSET + i] === ((crc >>> (8 * i)) & 0xff));
}
