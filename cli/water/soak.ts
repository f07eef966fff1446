/** `water soak`: what to mix and how long to soak stone wool, and a timer that goes along with it. */
import type { Command } from 'commander';
import { PIECES_MAX, SOAK_PH, type Soak, soakOf } from '../../shared/physics/soak';
import { given, needed, whole } from '../arguments/options';
import { PIECE_NAMES, pieceSize } from '../arguments/piece';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { facts, wrap } from '../terminal/output';
import { aboutVolume } from '../words/about';
import { soakSteps } from '../words/soak';
import { ACID_CAUTION } from './acid';
import { countDown } from './timer';

const EXAMPLE =
  'For example: trayward water soak --pieces 98 --size plug-36, or --size 100x100x65mm';

const OPTIONS = {
  pieces: needed(
    whole(1, PIECES_MAX, 'It is how many pieces are soaked at a time.', EXAMPLE),
    EXAMPLE,
  ),
  size: needed(pieceSize, EXAMPLE),
  timer: given,
};

const MAKERS_DIFFER =
  'Times are those of the trade. Makers differ: one wets plugs for 30 s and blocks for a minute; your maker’s sheet goes first.';

const WOOL_CAUTION =
  'Dry stone wool itches and its dust is bad to breathe: gloves, sleeves, a mask.';

function soakText(soak: Soak, { units, style }: Context): string {
  const volume = (ml: number): string => aboutVolume(ml, units);
  const rows = [
    { label: 'Mix', value: volume(soak.mixMl), note: `the wool takes up ${volume(soak.drinkMl)}` },
    { label: 'Keeps', value: volume(soak.keepMl), note: 'once it has drained' },
  ];
  const steps = soakSteps(soak, units).map((step, i) => `${i + 1}. ${step}`);
  return [
    facts(rows, style),
    wrap(steps.join('\n'), style.width, 3),
    wrap(MAKERS_DIFFER, style.width),
  ].join('\n');
}

export function addSoak(noun: Command, act: Act): void {
  noun
    .command('soak')
    .description('how much to mix and how long to soak plugs, blocks or slabs of stone wool')
    .option('--pieces <count>', 'how many')
    .option('--size <size>', `${PIECE_NAMES.join(', ')}, or 100x100x65mm`)
    .option('--timer', 'go along with it, step by step, at a terminal')
    .action(
      act(OPTIONS, async (context, { pieces, size, timer }) => {
        const soak = soakOf(size, pieces);
        if (!soak.ok) throw usage(soak.why, EXAMPLE);
        const text = soakText(soak.value, context);
        if (timer && !context.ask.possible) {
          throw usage(
            '--timer goes along with somebody at a terminal, and there is none.',
            'Leave --timer and --json out, or run it in a terminal.',
            'needs-a-terminal',
          );
        }
        context.caution(`${WOOL_CAUTION} ${ACID_CAUTION}`);
        if (timer) await countDown(context, soak.value);
        const { form, pieceMl, fromS, toS, mixMl, drinkMl, keepMl } = soak.value;
        return {
          result: { form, pieceMl, fromS, toS, ph: SOAK_PH, mixMl, drinkMl, keepMl },
          text: timer ? 'Soaked.' : text,
        };
      }),
    );
}
