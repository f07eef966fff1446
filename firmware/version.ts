/** Version of the firmware; `package.json` carries the same (a test compares them). */
export const FIRMWARE_VERSION = '0.2.0';

const [major = 0, minor = 0, patch = 0] = FIRMWARE_VERSION.split('.').map(Number);
/** As one number, for the journal. */
export const FIRMWARE_VERSION_CODE = major * 10_000 + minor * 100 + patch;
