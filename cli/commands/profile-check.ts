/** `profile check`: every mistake in a file, and what one short rehearsal of it warns of. */
import type { Command } from 'commander';
import { firstFeedS } from '../../shared/profile/first-feed';
import { type Emergence, emergenceOf } from '../../shared/profile/host/emergence';
import { problemText } from '../../shared/profile/host/problem';
import { profileIdText } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { formatQuantity } from '../../shared/units';
import { given, needed } from '../arguments/options';
import { ROOM_HELP, roomAir } from '../arguments/room';
import type { Act, Context } from '../context';
import { compile } from '../profile/compile';
import { rehearseCommand, rehearseOnce, shortText, USUAL_ROOM } from '../rehearse/once';
import { wrap } from '../terminal/output';

/** What a grower may expect of the seed. */
function emergenceText(crop: string, { days, normalShare, source }: Emergence): string {
  const share =
    normalShare === null
      ? ''
      : `, ${Math.round(normalShare * 100)} of 100 seeds as normal seedlings`;
  return `In the band of its first stage ${crop} seed comes up in about ${Math.round(days)} d${share} (${source}).`;
}

/** When seedlings are fed first, counted from emergence; null for a profile that waters in no stage. */
function firstFeedText({ stages }: Profile, { units }: Context): readonly string[] {
  const latestS = firstFeedS(stages);
  return latestS === null
    ? ['No stage after emergence gives water: feed by hand within a week of it.']
    : [`First feed at the latest ${formatQuantity('duration', latestS, units)} after emergence.`];
}

const OPTIONS = { room: needed(roomAir), rehearsal: given };

export function registerCheck(noun: Command, act: Act): void {
  noun
    .command('check')
    .argument('<file>', 'profile file (YAML)')
    .description(
      'explain every mistake in a profile file, and rehearse it once; needs no controller',
    )
    .option('--room <temperature>', ROOM_HELP, USUAL_ROOM)
    .option('--no-rehearsal', 'the file alone, without the short rehearsal')
    .action(
      act(OPTIONS, async (context, { room, rehearsal }, [file = '']) => {
        const { units } = context;
        const compiled = compile(file);
        const { profile, id, image, warnings } = compiled;
        const emergence = emergenceOf(profile);
        const short = rehearsal ? await rehearseOnce(compiled, room, units) : null;
        const lines = [
          ...warnings.map(problemText),
          `${profile.title}: ${profile.stages.length} stages, ${image.length} bytes, identifier ${profileIdText(id)}. Good to load.`,
          ...(emergence === null ? [] : [emergenceText(profile.crop, emergence)]),
          ...firstFeedText(profile, context),
          ...(short !== null
            ? shortText(short, file, units)
            : [`How it will go in your room: \`${rehearseCommand(file, room, units)}\`.`]),
        ];
        return {
          result: {
            id: profileIdText(id),
            bytes: image.length,
            warnings,
            emergence,
            firstFeedS: firstFeedS(profile.stages),
            rehearsal: short === null || 'why' in short ? null : short,
          },
          text: wrap(lines.join('\n'), context.style.width),
        };
      }),
    );
}
