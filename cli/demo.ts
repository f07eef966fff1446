/**
 * The demo: three weeks of a cucumber tray in less than a minute, from dry plugs to blocks. A bench runs in its
 * own process; all that happens is what the program's own commands do over the link. Only the grower's actions
 * and two faults are scripted: a mains failure of two hours, and a reservoir filled too sparingly.
 */

import { formatQuantity } from '../shared/units';
import { DAY_S, HOUR_S, MINUTE_S } from '../shared/units/time';
import { Grower } from './demo/grower';
import { Page } from './demo/page';
import { PROFILE } from './demo/place';

/** Hours of the room's day: the grower begins in the morning, and looks in towards evening; night is coldest at three. */
const MORNING = 8;
const EVENING = 17;
const NIGHT = 3;
const ROOM = '18 C';
const BENCH = [
  ...['--listen', '0', '--speed', '0', '--seed', '11'],
  ...['--profile', PROFILE, '--room', ROOM, '--swing', '2 K'],
];
/** Seed that has not come up by then will not. */
const EMERGENCE_MAX_DAYS = 10;
/** After the transplant the grower is away. */
const AWAY_DAYS = 5;
/** Where the demo leaves its report, among what was built. */
const REPORT = 'dist/demo-report.html';
/** What the grower leaves in the reservoir before that. */
const SPARING = '500 ml';

async function calibrate(grower: Grower): Promise<void> {
  grower.says(
    'The scale is calibrated with a known weight of 5 kg. The grower does what the program asks.',
  );
  await grower.types(
    ['scale', 'calibrate', '--weight', '5kg', '--cell', '10kg', '--tray', '4.6kg'],
    {
      'Put the known weight': () => grower.hand('put-weight', '5 kg'),
      'Take the weight off': () => grower.hand('take-weight'),
    },
  );
  grower.says('The pump is calibrated on the scale, into a jug.');
  await grower.hand('put-jug');
  await grower.waits(MINUTE_S);
  await grower.types(['pump', 'prime', '--yes']);
  await grower.types(['pump', 'calibrate', '--yes']);
  await grower.hand('take-jug');
}

async function sow(grower: Grower): Promise<void> {
  grower.says('The cucumber profile is checked, then loaded.');
  await grower.types(['profile', 'check', PROFILE]);
  await grower.types(['profile', 'load', PROFILE]);
  grower.says(
    'The dry tray goes on the scale: matting, and plugs in every second place. It is soaked in feed, drained, and sown.',
  );
  await grower.hand('put-tray');
  await grower.waits(5 * MINUTE_S);
  await grower.types(['mark', 'dry']);
  await grower.hand('soak');
  await grower.waits(HOUR_S);
  await grower.types(['mark', 'soaked']);
  await grower.hand('sow');
  await grower.hand('lid', 'closed');
  await grower.waits(5 * MINUTE_S);
  await grower.types(['mark', 'sown']);
  grower.says('The reservoir holds 4 l of the dilute feed that the profile wants first.');
  await grower.types(['mark', 'refilled', '--ec', '0.9mS/cm']);
  await grower.until(EVENING);
  const { rootZoneC, roomC } = await grower.state();
  grower.says(
    `At five in the afternoon the room has ${formatQuantity('temperature', roomC, 'metric')}; ` +
      `the mat has lifted the root zone ${(rootZoneC - roomC).toFixed(1)} K above it. ` +
      'When do the plants get food? The line on watering says by when.',
  );
  await grower.types(['status']);
}

/** What the grower finds and does on one day. */
interface Visit {
  readonly finds: string;
  does(grower: Grower): Promise<void>;
}

/** Visits so many days after emergence; the profile and the status ask for them. */
const AFTER_EMERGENCE: Readonly<Record<number, Visit>> = {
  2: {
    finds: 'the stage of the first feed has begun, and asks for a propped lid.',
    async does(grower) {
      await grower.hand('lid', 'propped');
      await grower.waits(10 * MINUTE_S);
      await grower.types(['status']);
    },
  },
  5: {
    finds: 'has the crop been fed? The journal is pulled from the board, and says.',
    async does(grower) {
      await grower.types(['journal', 'pull']);
      await grower.types(['journal', 'show', '--kind', 'dose', '--last', '2']);
    },
  },
  6: {
    finds:
      'the next stage asks for the lid off by day, because plants that drink are fed. ' +
      'What has each plant had, and what of the weight is plants and no water?',
    async does(grower) {
      await grower.hand('lid', 'off-by-day');
      await grower.waits(10 * MINUTE_S);
      await grower.types(['status']);
      await grower.until(NIGHT);
      grower.says('At three in the night, with nobody in the room, the mains fails for two hours.');
      await grower.fault('mains-cut', 2 * HOUR_S);
    },
  },
  7: {
    finds: 'the status tells what happened at night, and the grower says that it is seen.',
    async does(grower) {
      await grower.types(['status']);
      await grower.types(['alarm', 'seen']);
    },
  },
  10: {
    finds:
      'the first true leaf is out. The best plants are moved on to blocks, soaked and drained.',
    does: transplant,
  },
};
/** The last of them: the grower leaves. */
const LEAVES_AFTER_DAYS = Math.max(...Object.keys(AFTER_EMERGENCE).map(Number));

async function transplant(grower: Grower): Promise<void> {
  await grower.hand('take-tray');
  await grower.waits(20 * MINUTE_S);
  await grower.hand('transplant');
  await grower.types(['mark', 'transplanted', '--yes']);
  await grower.waits(HOUR_S);
  await grower.types(['mark', 'soaked']);
  await grower.hand('lid', 'off');
  grower.says(
    `Fresh feed for the blocks. In a hurry, only ${SPARING} go in, but it is marked as full.`,
  );
  await grower.hand('drain-reservoir', '0 ml');
  await grower.hand('refill', SPARING);
  await grower.types(['mark', 'refilled', '--ec', '1.0mS/cm']);
}

/** Day after day, as the crop and the profile ask. Returns the day on which the grower is back. */
async function grow(grower: Grower): Promise<number> {
  grower.says(
    'The days pass. Every day at five the grower looks in; all else is up to the controller.',
  );
  let day = 0;
  let emergedShare = 0;
  while (emergedShare <= 0.5) {
    if (day >= EMERGENCE_MAX_DAYS) throw new Error(`no seed was up on day ${day}`);
    await grower.until(EVENING);
    day += 1;
    ({ emergedShare } = (await grower.state()).plants);
  }
  grower.says(`Day ${day}: more than half of the seedlings are up. The grower opens the vents.`);
  await grower.hand('lid', 'vents-open');
  await grower.types(['mark', 'emerged']);
  const emergedDay = day;
  while (day < emergedDay + LEAVES_AFTER_DAYS) {
    await grower.until(EVENING);
    day += 1;
    const visit = AFTER_EMERGENCE[day - emergedDay];
    if (visit === undefined) continue;
    grower.says(`Day ${day}: ${visit.finds}`);
    await visit.does(grower);
  }
  grower.says(`Day ${day}: the grower leaves for ${AWAY_DAYS} days.`);
  for (let away = 0; away < AWAY_DAYS; away++) await grower.until(EVENING);
  return day + AWAY_DAYS;
}

async function lookBack(grower: Grower, day: number): Promise<void> {
  grower.says(`Day ${day}: the grower is back. How does the tray stand?`);
  await grower.types(['status']);
  await grower.types(['alarm', 'list']);
  await grower.types(['alarm', 'seen']);
  grower.says(`What happened in these ${day - 1} days, why, and what did it mean for the plants?`);
  await grower.types(['explain', '--since', `${day}d`]);
  grower.says('The journal has it entry by entry: the stages, and the last doses.');
  const show = (...words: string[]) => grower.types(['journal', 'show', ...words]);
  await show('--kind', 'stage');
  await show('--kind', 'dose', '--last', '4');
}

async function setRight(grower: Grower): Promise<void> {
  grower.says(
    'The cause is plain: the reservoir is empty. It is filled, the tube primed, the alarm mended.',
  );
  await grower.hand('refill');
  await grower.types(['mark', 'refilled', '--ec', '1.0mS/cm']);
  await grower.types(['pump', 'prime', '--yes']);
  await grower.waits(10 * MINUTE_S);
  await grower.types(['alarm', 'mended', 'dose-not-seen']);
  await grower.until(MORNING);
  grower.says('The next morning the blocks have had what they missed.');
  await grower.types(['status']);
  grower.says(`Can the tray be left again for ${AWAY_DAYS} days? This time the grower asks first.`);
  await grower.types(['away', `${AWAY_DAYS}d`]);
  grower.says('All of it goes on one page, to keep.');
  await grower.types(['report', '--out', REPORT, '--force']);
}

async function main(): Promise<void> {
  const startedMs = Date.now();
  const page = new Page((text) => process.stdout.write(text));
  page.heading(
    `A bench: the real firmware with a simulated tray, in a room of ${ROOM}. Lines with "hand:" are what ` +
      'the grower does there, as `trayward bench hand` takes it; those with "time:" let time pass.',
  );
  const grower = await Grower.at(page, BENCH);
  try {
    await grower.until(MORNING);
    await grower.types(['status']);
    await calibrate(grower);
    await sow(grower);
    await lookBack(grower, await grow(grower));
    await setRight(grower);
    const { timeS } = await grower.state();
    const took = Math.round((Date.now() - startedMs) / 1000);
    page.heading(`Done: ${(timeS / DAY_S).toFixed(1)} days of the tray in ${took} s.`);
  } finally {
    await grower.leaves();
  }
}

main().catch((error: Error) => {
  process.stderr.write(`The demo stopped: ${error.message}.\n`);
  process.exitCode = 1;
});
