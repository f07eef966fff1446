/** `hardware check`: the budgets of the circuit for a given tray, load cell, mat and room. */
import { type Command, Option } from 'commander';
import { hardwareReport } from '../../hardware/budget/report';
import { TRAYS } from '../../hardware/budget/trays';
import type { ReportInput } from '../../hardware/budget/verdicts';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { RAIL_CHOICES_V } from '../../hardware/circuit/limits';
import type { QuantityKind } from '../../shared/units';
import { plainNumber, quantityFlag } from '../arguments/quantity';
import type { Act, Context, Flags } from '../context';
import { CommandError, usage } from '../failure';
import { reportText } from '../hardware/report-text';

const HELP = 'See `trayward hardware check --help`.';

/** An option as a quantity in the program's own unit; the option has a default or may be absent. */
const quantity = (flags: Flags, name: string, kind: QuantityKind): number | null =>
  quantityFlag(flags, name, kind, HELP);

/** An option that is a plain number in the unit its help names. */
function plain(flags: Flags, name: string, unit: string, min: number, max: number): number {
  const text = flags.text(name) ?? '';
  const value = plainNumber(text);
  if (value >= min && value <= max) return value;
  throw usage(`"${text}" is no number of ${unit} from ${min} to ${max}.`, HELP, 'not-a-number');
}

function inputOf(context: Context, flags: Flags): ReportInput {
  const trayName = flags.text('tray');
  const tray = TRAYS.find(({ name }) => name === trayName);
  const railV = RAIL_CHOICES_V.find((volts) => String(volts) === flags.text('rail'));
  const cellG = quantity(flags, 'cell', 'mass');
  const roomC = quantity(flags, 'room', 'temperature');
  const roomMaxC = quantity(flags, 'roomMax', 'temperature');
  const bandHighC = quantity(flags, 'band', 'temperature');
  if (
    tray === undefined ||
    railV === undefined ||
    cellG === null ||
    roomC === null ||
    roomMaxC === null ||
    bandHighC === null
  ) {
    throw new Error('hardware check was registered without its defaults');
  }
  if (!(cellG > 0))
    throw usage('A load cell of 0 g carries nothing.', 'Give its rating, such as --cell "10 kg".');
  if (roomMaxC < roomC) {
    throw usage(
      'The warmest room is colder than the coldest one.',
      'Give the coldest with --room and the warmest with --room-max.',
    );
  }
  return {
    tray,
    cellG,
    cellMvPerV: plain(flags, 'cellOutput', 'mV/V', 0.5, 4),
    matWM2: plain(flags, 'mat', 'W/m²', 10, 1000),
    railV,
    roomC,
    roomMaxC,
    bandHighC,
    reservoirMl: quantity(flags, 'reservoir', 'volume'),
    dripTrayMl: quantity(flags, 'dripTray', 'volume'),
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
        .choices(TRAYS.map(({ name }) => name))
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
    .action(
      act(async (context, flags) => {
        const input = inputOf(context, flags);
        const report = hardwareReport(CIRCUIT, input);
        if (report === null) throw new Error('the netlist lacks the probe or the scale');
        const text = reportText(report, input, context.style);
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
