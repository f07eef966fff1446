/** Runs in the page of the room. */
import { follow, works } from './live';

if (works()) follow(() => {});
