/** A tray in service and a flash chip that months have filled, for the figures. */
import { type Bench, createBench } from '../firmware/bench/bench';
import { SimulatedFlash } from '../firmware/bench/flash';
import { fillJournal } from '../firmware/bench/full-journal';
import { GrowerAt } from '../firmware/bench/grower';
import { encodeLine, type ReceivedLine } from '../shared/link/framing';
import type { MethodName } from '../shared/link/methods';
import type { Profile } from '../shared/profile/profile';

/** In a warm room, so that the mat works a little and the wool dries a little: what most days are like. */
const ROOM = { meanC: 24 };
export const FIGURES_PROFILE: Profile = {
  crop: 'pepper',
  title: 'For figures',
  rootZoneMaxC: 34,
  reservoirMl: 4000,
  spread: null,
  night: null,
  quiet: null,
  utcOffsetMin: 0,
  media: [{ name: 'plugs', pieces: 98, pieceMl: 51.84, bulkDensityKgM3: 70, capacityShare: 0.8 }],
  stages: [
    {
      name: 'first feed',
      kind: 'weigh',
      band: { lowC: 24, highC: 25 },
      nightBand: null,
      watering: {
        startShare: 0.04,
        stopShare: 0.01,
        doseMl: 40,
        soakInS: 300,
        maxDayMl: 900,
        maxStageMl: 4000,
      },
      opening: null,
      rescue: { share: 0.5, doseMl: 0 },
      end: { afterS: 0, mark: null },
      lid: 'loose',
      medium: 0,
      feedEc: 0,
    },
  ],
};

type Fields = Readonly<Record<string, unknown>>;
export interface Reply {
  readonly result?: Fields;
}

export const replyIn = (line: ReceivedLine): Reply | null =>
  line.kind === 'text' && line.checked ? Object(JSON.parse(line.text)) : null;

/** A figure of a board that refuses what it is asked for would be a wrong one. */
export function resultOf(reply: Reply | null): Fields {
  if (reply?.result === undefined) throw new Error(`The board answered ${JSON.stringify(reply)}.`);
  return reply.result;
}

export const requestLine = (id: number, method: MethodName, params: object): Uint8Array =>
  encodeLine(JSON.stringify({ jsonrpc: '2.0', id, method, params }));

/** A tray in service in this process: calibrated, loaded and sown. The image can take it over. */
export function inService(): Bench {
  const bench = createBench({ seed: 1, room: ROOM });
  new GrowerAt(bench).commission(FIGURES_PROFILE);
  bench.run(2000);
  return bench;
}

/** A chip whose journal has gone round its ring: the slowest start, the longest pull. */
export function fullFlash(bench: Bench): SimulatedFlash {
  const flash = new SimulatedFlash({ contents: bench.flash.bytes });
  fillJournal(flash);
  return flash;
}
