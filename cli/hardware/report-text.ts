/** The report of `hardware check`, for people. */
import type { BudgetItem, BudgetTotal } from '../../hardware/budget/item';
import { PROBE_CALIBRATION } from '../../hardware/budget/probe';
import type { HardwareReport } from '../../hardware/verdicts/report';
import type { ReportInput, Verdict } from '../../hardware/verdicts/verdict';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { facts, type Style, table, wrap } from '../terminal/output';

const LEVELS: Readonly<Record<Verdict['level'], string>> = {
  fits: 'fits',
  caution: 'caution',
  refused: 'DOES NOT FIT',
};

function verdictText(verdicts: readonly Verdict[], style: Style): string {
  const colour = { fits: style.good, caution: style.warn, refused: style.bad };
  const worst = { refused: 0, caution: 1, fits: 2 };
  return [...verdicts]
    .sort((a, b) => worst[a.level] - worst[b.level])
    .map(({ level, sentence }) => wrap(`${colour[level](LEVELS[level])}: ${sentence}`, style.width))
    .join('\n');
}

const amps = (a: number): string => (a < 0.1 ? `${(a * 1e3).toFixed(1)} mA` : `${a.toFixed(2)} A`);

function probeText(report: HardwareReport, units: UnitSystem, style: Style): string {
  const kelvin = (k: number): string => (units === 'us' ? (k * 1.8).toFixed(2) : k.toFixed(2));
  const unit = units === 'us' ? '°F' : 'K';
  const [first] = report.probes;
  const names = first?.items.map((item) => item.name) ?? [];
  const row = (name: string, pick: (at: number) => number | undefined): string[] => [
    name,
    ...report.probes.map((_, i) => kelvin(pick(i) ?? Number.NaN)),
  ];
  const total = (which: 'asBuilt' | 'calibrated', how: keyof BudgetTotal) => (i: number) =>
    report.probes[i]?.[which][how];
  return table(
    [
      { title: `Probe, ${unit} either way at` },
      ...report.probes.map(({ atC }) => ({
        title: formatQuantity('temperature', atC, units),
        align: 'right' as const,
      })),
    ],
    [
      ...names.map((name, line) => row(name, (i) => report.probes[i]?.items[line]?.limit)),
      row('all at their worst', total('asBuilt', 'worst')),
      row('likely (k = 2), as built', total('asBuilt', 'likely')),
      row(
        `likely, after \`probe calibrate\` at ${formatQuantity('temperature', PROBE_CALIBRATION.atC, units)}`,
        total('calibrated', 'likely'),
      ),
    ],
    style,
  );
}

function scaleText(report: HardwareReport, units: UnitSystem, style: Style): string {
  const { dose, day, absolute } = report.scale;
  const grams = (g: number | undefined): string =>
    g === undefined ? '' : formatQuantity('mass', g, units);
  const of = (items: readonly BudgetItem[], name: string): string =>
    grams(items.find((item) => item.name === name)?.limit);
  const row = (name: string): string[] => [
    name,
    of(dose.items, name),
    of(day.items, name),
    of(absolute.items, name),
  ];
  const names = [...new Set([...dose.items, ...absolute.items].map((item) => item.name))];
  const right = (title: string) => ({ title, align: 'right' as const });
  return table(
    [{ title: 'Scale, either way' }, right('a dose'), right('a day'), right('absolute')],
    [
      ...names.map(row),
      ['all at their worst', ...[dose, day, absolute].map(({ total }) => grams(total.worst))],
      ['likely (k = 2)', ...[dose, day, absolute].map(({ total }) => grams(total.likely))],
    ],
    style,
  );
}

function electricText(report: HardwareReport, style: Style): string {
  const { supply } = report;
  return [
    facts(
      [
        {
          label: 'Supply',
          value: `${supply.unitW.toFixed(0)} W at ${supply.railV} V`,
          note: `mat ${amps(supply.matA)}, pump ${amps(supply.pumpA)}, controller ${amps(supply.converterA)}; peak ${amps(supply.peakA)}`,
        },
        { label: '5 V', value: amps(supply.fiveVoltA), note: 'of 1 A' },
        { label: '3.3 V pin', value: amps(supply.logicSupplyA), note: 'of 300 mA' },
        ...report.switches.map(({ part, amps: load, heatW, junctionC, gateV }) => ({
          label: `Switch ${part}`,
          value: `${(heatW * 1e3).toFixed(0)} mW`,
          note: `at ${amps(load)}; junction ${junctionC.toFixed(0)} °C in a box at 50 °C; gate ${gateV.toFixed(2)} V at least`,
        })),
        ...report.pins.map(({ pin, net, amps: load }) => ({
          label: `Pin ${pin}`,
          value: amps(load),
          note: `${net}, of 4 mA`,
        })),
        ...report.fuses.map(({ fuse, ratedA, wireMm2, wireMayCarryA }) => ({
          label: `Fuse ${fuse}`,
          value: `${ratedA} A`,
          note:
            wireMm2 === 0
              ? 'board only'
              : `thinnest wire ${wireMm2} mm², may carry ${wireMayCarryA} A`,
        })),
      ],
      style,
    ),
  ].join('\n');
}

/** The verdicts on one screen; with `details` the budgets they rest on. */
export function reportText(
  report: HardwareReport,
  input: ReportInput,
  style: Style,
  details: boolean,
): string {
  const { units } = input;
  const mass = (g: number): string => formatQuantity('mass', g, units);
  return [
    facts(
      [
        { label: 'Tray', value: input.tray.title },
        { label: 'Soaked, with lid', value: mass(report.soakedTrayG) },
        { label: 'On the cell', value: mass(report.heaviestG), note: `of ${mass(input.cellG)}` },
        {
          label: 'Counts',
          value: `${report.scale.countsPerG.toFixed(0)} per gram`,
          note: `one conversion scatters ${mass(report.scale.noiseG)}`,
        },
        {
          label: 'Mat',
          value: `${report.mat.powerW.toFixed(0)} W`,
          note: `${report.mat.fluxWM2} W/m²; on ${(Math.min(1, report.mat.dutyShare) * 100).toFixed(0)} % of the time at ${formatQuantity('temperature', report.mat.roomC, units)}`,
        },
      ],
      style,
    ),
    verdictText(report.verdicts, style),
    ...(details
      ? [
          probeText(report, units, style),
          scaleText(report, units, style),
          electricText(report, style),
        ]
      : [wrap('Budgets behind this: --details.', style.width)]),
    ...report.circuit.map((breach) => wrap(style.bad(breach.sentence), style.width)),
  ].join('\n\n');
}
