/** What the mat means for a build: current, fuse, reach, and what a failed switch or a hot room would do. */

import type { MatBudget } from '../budget/mat';
import { LIMITS_OUTSIDE } from '../checks/fixed';
import { MARGIN, ROOM } from '../circuit/limits';
import { OUTPUT_RATING_A } from '../circuit/outputs';
import { celsius, type ReportInput, type Verdict } from './verdict';

/** Root-zone temperature at which nothing germinates any more (tests/reference, germination). */
const ROOT_ZONE_LETHAL_C = 40;
/** Above this most crops germinate worse or not at all (optima of the seed tables end at 30 to 35 °C; common practice). */
const ROOT_ZONE_HARM_C = 35;
/** A mat with more than this many times what its band needs only overshoots. */
const OVERSIZED = 4;
/** Blade fuses as they are sold, A (ISO 8820-3). The holder takes any of them. */
const BLADE_A = [1, 2, 3, 4] as const;

/** The fuse for a mat of `amps`: the smallest that carries it for ever. The largest is what the wires bear. */
export function matFuseA(amps: number): number {
  return (
    BLADE_A.find((rating) => amps <= rating * MARGIN.fuseLoad) ?? BLADE_A[BLADE_A.length - 1] ?? 4
  );
}

function currentVerdicts(input: ReportInput, mat: MatBudget): Verdict[] {
  const amps = mat.powerW / input.railV;
  const limitA = OUTPUT_RATING_A.mat;
  if (amps > limitA) {
    const instead = input.railV === 12 ? '24 V mat and supply' : 'smaller mat';
    return [
      {
        about: 'mat-current',
        level: 'refused',
        sentence: `A mat of ${mat.powerW.toFixed(0)} W takes ${amps.toFixed(1)} A at ${input.railV} V; the output is built for ${limitA} A. Take a ${instead}.`,
      },
    ];
  }
  return [
    {
      about: 'mat-current',
      level: 'fits',
      sentence: `The mat takes ${amps.toFixed(1)} A of the output's ${limitA} A.`,
    },
    {
      about: 'mat-fuse',
      level: 'fits',
      sentence: `Put a blade fuse of ${matFuseA(amps)} A into F2: a larger one would not see a fault of this mat.`,
    },
  ];
}

function reachVerdict(input: ReportInput, mat: MatBudget): Verdict {
  const reach = `In a room at ${celsius(input, mat.roomC)}, lid closed, this mat can warm the roots to ${celsius(input, mat.reachesC)}`;
  const wanted = `${Math.ceil(mat.wantedWM2 / 10) * 10} W/m²`;
  const about = 'mat-reach';
  if (mat.dutyShare >= 1) {
    return {
      about,
      level: 'refused',
      sentence: `${reach}; the band goes to ${celsius(input, mat.bandHighC)}. Take about ${wanted}, or warm the room.`,
    };
  }
  if (mat.dutyShare > 1 / MARGIN.supply) {
    return {
      about,
      level: 'caution',
      sentence: `${reach}; it would be on ${(mat.dutyShare * 100).toFixed(0)} % of the time. A colder night finds it too weak: about ${wanted} has a quarter in hand.`,
    };
  }
  if (mat.wantedWM2 > 0 && mat.fluxWM2 > OVERSIZED * mat.wantedWM2) {
    return {
      about,
      level: 'caution',
      sentence: `This mat is far stronger than the band needs: about ${wanted} would do, and overshoot less.`,
    };
  }
  return { about, level: 'fits', sentence: `${reach}: enough, with margin.` };
}

/** `c`, but no figure for what nothing in this build lives through. */
const upTo = (input: ReportInput, c: number): string =>
  c > LIMITS_OUTSIDE.propagatorMaxC
    ? `more than ${celsius(input, LIMITS_OUTSIDE.propagatorMaxC)}`
    : celsius(input, c);

function stuckVerdict(input: ReportInput, mat: MatBudget): Verdict {
  const day = `If both switches of the mat fail closed on a day of ${celsius(input, mat.roomMaxC)}`;
  const roots = `the roots reach ${upTo(input, mat.stuckRootZoneC)}`;
  const about = 'mat-stuck-on';
  if (mat.stuckMatC > LIMITS_OUTSIDE.cutOutLowestC) {
    return {
      about,
      level: 'refused',
      sentence: `${day}, the mat reaches ${upTo(input, mat.stuckMatC)} and only its cut-out ends that. Take a weaker mat.`,
    };
  }
  if (mat.stuckRootZoneC > ROOT_ZONE_LETHAL_C) {
    return {
      about,
      level: 'caution',
      sentence: `${day}, ${roots} and the crop is lost: the cut-out opens far above that. A weaker mat, or a shaded, aired room, is the only cure.`,
    };
  }
  if (mat.stuckRootZoneC > ROOT_ZONE_HARM_C) {
    return {
      about,
      level: 'caution',
      sentence: `${day}, ${roots}: most seed suffers above ${celsius(input, ROOT_ZONE_HARM_C)}. A weaker mat, or a cooler room, would spare it.`,
    };
  }
  return { about, level: 'fits', sentence: `${day}, ${roots} and no more.` };
}

function roomVerdict(input: ReportInput): Verdict {
  const { roomC, roomMaxC } = input;
  const about = 'room';
  if (roomMaxC > ROOM.maxC) {
    return {
      about,
      level: 'refused',
      sentence: `The controller is built for rooms up to ${celsius(input, ROOM.maxC)}, and a mat cools nothing: at ${celsius(input, roomMaxC)} the roots are too hot with it off. Shade and air the room.`,
    };
  }
  if (roomMaxC > ROOT_ZONE_HARM_C) {
    return {
      about,
      level: 'caution',
      sentence: `A mat cools nothing: on a day of ${celsius(input, roomMaxC)} the roots are as warm with it off. Shade and air the room.`,
    };
  }
  if (roomC < ROOM.minC) {
    return {
      about,
      level: 'caution',
      sentence: `The controller is built for rooms from ${celsius(input, ROOM.minC)} on; pump, tube and feed freeze before it does.`,
    };
  }
  return { about, level: 'fits', sentence: 'The room suits the controller.' };
}

function bandVerdicts(input: ReportInput): Verdict[] {
  const limitC = LIMITS_OUTSIDE.rootZoneLimiterC;
  if (input.bandHighC < limitC) return [];
  return [
    {
      about: 'band',
      level: 'refused',
      sentence: `The controller opens the mat by itself at ${celsius(input, limitC)} in the wool; a band up to ${celsius(input, input.bandHighC)} is never held. Nothing germinates there either.`,
    },
  ];
}

/** All that the mat decides. */
export function matVerdicts(input: ReportInput, mat: MatBudget): Verdict[] {
  return [
    ...currentVerdicts(input, mat),
    ...bandVerdicts(input),
    reachVerdict(input, mat),
    roomVerdict(input),
    stuckVerdict(input, mat),
  ];
}
