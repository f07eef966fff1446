/** Whether what goes into the holes has room: outside on its face, and inside beside the boards. */
import { type Build, bodyOfBoard, freeRooms } from './builds';
import { fitOf } from './fits';
import { bodyOf, nameOf, type Opening } from './openings';
import { type EnclosureRule, inEachBuild, pairs } from './plan';
import { FACES, faceSize, inner, meet, posts, type Room, within } from './shape';

/** Between what turns outside: a thumb and a finger. */
const FINGERS_MM = 6;
/** From a flange to the outer edge of its face, where walls are rounded and taper. */
const EDGE_MM = 4;
/** From a nut to an inner corner, and between things inside: a spanner. */
const CLEAR_MM = 3;
export const holesApart: EnclosureRule = {
  id: 'holes-apart',
  statement:
    'Flanges, caps and coupling rings of one face are a finger apart, and reach over none of its edges nor under the lid.',
  source: 'common practice; sizes of the usual makes in enclosure/fits.ts',
  check: (plan) =>
    inEachBuild(plan, (_, holes) => [
      ...holes.flatMap((hole) => {
        const { axis, across, up } = FACES[hole.face];
        const [width, height] = faceSize(plan.shape, hole.face);
        const radius = fitOf(hole.fit).outsideMm / 2 + EDGE_MM;
        const limit = (along: number, size: number): number =>
          along === 2 && axis !== 2 ? plan.shape.bodyMm : size;
        const over =
          hole.across < radius ||
          hole.up < radius ||
          hole.across > limit(across, width) - radius ||
          hole.up > limit(up, height) - radius;
        return over
          ? [`${nameOf(hole)} reaches over an edge of the ${FACES[hole.face].title}.`]
          : [];
      }),
      ...pairs(holes)
        .filter(([a, b]) => a.face === b.face)
        .filter(([a, b]) => {
          const need = (fitOf(a.fit).outsideMm + fitOf(b.fit).outsideMm) / 2 + FINGERS_MM;
          return Math.hypot(a.across - b.across, a.up - b.up) < need;
        })
        .map(([a, b]) => `${nameOf(a)} and ${nameOf(b)} are too near to each other.`),
    ]),
};

/** What may touch: a standoff its board, a light pipe the board with the lamp. */
const mayTouch = (hole: Opening, board: string, build: Build): boolean =>
  hole.fit === 'standoff'
    ? hole.words === `standoff of the ${board}`
    : hole.fit === 'light-pipe' && board === build.lamp.on;

export const roomInside: EnclosureRule = {
  id: 'room-inside',
  statement:
    'Nuts and bodies, boards with their parts, the bend of their wires, and the posts of the lid have room beside each other, in either build.',
  source: 'common practice; heights from the packages, modules from memory',
  check: (plan) =>
    inEachBuild(plan, (build, holes) => {
      const air = inner(plan.shape);
      const bodies = holes.map((hole) => ({ hole, room: bodyOf(plan.shape, hole) }));
      const boards = build.boards.map(bodyOfBoard);
      const free = freeRooms(build);
      const corners = posts(plan.shape);
      const clash = (a: Room, b: Room): string => `${a.what} and ${b.what} are in one place.`;
      const clashes = (some: readonly Room[], others: readonly Room[], apartMm: number) =>
        some.flatMap((a) => others.filter((b) => meet(a, b, apartMm)).map((b) => clash(a, b)));
      return [
        ...[...bodies.map(({ room }) => room), ...boards, ...free]
          .filter((room) => !within(room, air))
          .map(({ what }) => `${what} reaches beyond the walls.`),
        ...pairs(bodies.map(({ room }) => room))
          .filter(([a, b]) => meet(a, b, CLEAR_MM))
          .map(([a, b]) => clash(a, b)),
        ...pairs(boards)
          .filter(([a, b]) => meet(a, b, CLEAR_MM))
          .map(([a, b]) => clash(a, b)),
        ...bodies.flatMap(({ hole, room }) =>
          clashes(
            [room],
            [...boards.filter(({ what }) => !mayTouch(hole, what, build)), ...corners],
            CLEAR_MM,
          ),
        ),
        ...clashes(boards, corners, 0),
        ...free.flatMap((room) =>
          clashes(
            [room],
            [
              ...bodies.map((body) => body.room),
              ...boards.filter(({ what }) => what !== room.of),
              ...corners,
            ],
            0,
          ),
        ),
      ];
    }),
};
