/** `hardware check`: the budgets of the circuit for a given tray, load cell, mat and room. */
import { type Command, Option } from 'commander';
import { TRAYS } from '../../hardware/budget/trays';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { RAIL_CHOICES_V } from '../../hardware/circuit/limits';
import { hardwareReport } from '../../hardware/verdicts/report';
import type { ReportInput } from '../../hardware/verdicts/verdict';
import type { SteinhartHart } from '../../shared/physics/ntc';
import { coefficientsOf } from '../../shared/physics/probe-curve';
import { given, needed, number, type OptionsOf, oneOf, quantity } from '../arguments/options';
import { curveByB } from '../calibration/probe-curve';
import { findingsOf } from '../calibration/refusal';
import type { Act, Context } from '../context';
import { CommandError, usage } from '../failure';
import { reportText } from '../hardware/report-text';

const HELP = 'See `trayward hardware check --help`.';
const TRAY_NAMES = TRAYS.map(({ name }) => name);
const TEMPERATURE = needed(quantity('temperature', HELP));

const OPTIONS = {
  tray: needed(oneOf(TRAY_NAMES)),
  cell: needed(quantity('mass', HELP)),
  cellOutput: needed(number(0.5, 4, 'mV/V')),
  mat: needed(number(10, 1000, 'W/m²')),
  rail: needed(oneOf(RAIL_CHOICES_V.map(String))),
  room: TEMPERATURE,
  roomMax: TEMPERATURE,
  band: TEMPERATURE,
  reservoir: quantity('volume', HELP),
  dripTray: quantity('volume', HELP),
  probeR25: quantity('resistance', HELP),
  probeB: number(1, 100_000, 'kelvin'),
  details: given,
};

/** The NTC of the probes, where it is named; ends the command where no controller could read it. */
function ntcOf(r25Ohm: number | null, bK: number | null, { units }: Context): SteinhartHart | null {
  if (r25Ohm === null || bK === null) return null;
  return coefficientsOf(findingsOf(curveByB({ r25Ohm, bK, betweenC: [25, 85] }, units)));
}

function inputOf(context: Context, options: OptionsOf<typeof OPTIONS>): ReportInput {
  const { cell: cellG, room: roomC, roomMax: roomMaxC } = options;
  const tray = TRAYS.find(({ name }) => name === options.tray);
  const railV = RAIL_CHOICES_V.find((volts) => String(volts) === options.rail);
  if (tray === undefined || railV === undefined) throw new Error('a choice that is none');
  if (!(cellG > 0))
    throw usage('A load cell of 0 g carries nothing.', 'Give its rating, such as --cell "10 kg".');
  if (roomMaxC < roomC) {
    throw usage(
      'The warmest room is colder than the coldest one.',
      'Give the coldest with --room and the warmest with --room-max.',
    );
  }
  if ((options.reservoir === null) !== (options.dripTray === null)) {
    throw usage(
      'Whether the reservoir fits can be told only beside the drip tray that must hold it.',
      'Give both: --reservoir "4 l" --drip-tray "6 l".',
    );
  }
  if ((options.probeR25 === null) !== (options.probeB === null)) {
    throw usage(
      'An NTC is told by its resistance at 25 °C and its B together.',
      'Give both: --probe-r25 10k --probe-b 3435.',
    );
  }
  return {
    tray,
    cellG,
    cellMvPerV: options.cellOutput,
    matWM2: options.mat,
    railV,
    roomC,
    roomMaxC,
    bandHighC: options.band,
    reservoirMl: options.reservoir,
    dripTrayMl: options.dripTray,
    probe: ntcOf(options.probeR25, options.probeB, context),
    units: context.units,
  };
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('budgets of the controller for your tray, load cell, mat and room')
    .addOption(
      new Option('--tray <format>', 'tray and wool on the scale')
        .choices(TRAY_NAMES)
        .default('flat-98'),
    )
    .option('--cell <mass>', 'rated capacity of the load cell', '10 kg')
    .option('--cell-output <mV/V>', 'its rated output', '1')
    .option('--mat <W/m2>', 'power of the mat for each square metre of tray', '120')
    .addOption(
      new Option('--rail <V>', 'supply, mat and pump')
        .choices(RAIL_CHOICES_V.map(String))
        .default('24'),
    )
    .option('--room <temperature>', 'coldest the room gets', '16 C')
    .option('--room-max <temperature>', 'warmest the room gets', '26 C')
    .option('--band <temperature>', 'high edge of the warmest band you need', '27 C')
    .option('--reservoir <volume>', 'content of the reservoir')
    .option('--drip-tray <volume>', 'content of the drip tray, to its rim')
    .option('--probe-r25 <resistance>', 'resistance of the probes at 25 C, if they are others')
    .option('--probe-b <K>', 'and their B')
    .option('--details', 'the error budgets, currents and fuses as well')
    .action(
      act(OPTIONS, async (context, options) => {
        const input = inputOf(context, options);
        const report = hardwareReport(CIRCUIT, input);
        if (report === null) throw new Error('the netlist lacks the probe or the scale');
        const text = reportText(report, input, context.style, options.details);
        const result = { tray: input.tray.name, ...report };
        if (report.fits) return { result, text };
        context.say(text);
        const refusals = report.verdicts.filter(({ level }) => level === 'refused');
        throw new CommandError(
          'refused',
          'hardware-does-not-fit',
          [...refusals, ...report.circuit].map(({ sentence }) => sentence).join(' '),
          'Change what is named and check again, before buying.',
          [result],
        );
      }),
    );
}
