/** Which NTC a probe is, where it is not the reference one. Everything is checked again here. */
import { PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';
import type { Params, Result } from '../../shared/link/methods';
import {
  isAtOdds,
  isSameCurve,
  type ProbeCurve,
  readByC,
  unfitCurve,
} from '../../shared/physics/probe-curve';
import { assert } from '../assert';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';
import { toldCurve } from '../tray/probe-curves';
import { keptOrRefuse, unixMsNow } from './kept';

/**
 * Keeps the curve of a probe, or, without resistances, that it is the reference one, and has the board start again:
 * the limiter takes a curve at a start alone, and outputs are off then. Taken while a crop stands, for a broken probe may
 * have to be replaced by another kind. Refuses `not-an-ntc`, `ntc-out-of-range`, `ntc-too-coarse`, `curve-implausible` beside what
 * the other probe reads, `bad-parameter` where one resistance lacks, `pump-busy` while a dose is under way, which a start would cut off, and `storage-failing`.
 * What is known already changes nothing.
 */
export function probeCurve(
  ticker: Ticker,
  { channel, at0Ohm, at25Ohm, at50Ohm }: Params<'probe.curve'>,
): Result<'probe.curve'> {
  const { tray, watering } = ticker;
  const name = PROBE_NAMES[channel];
  assert(name !== undefined, 'probe-of-list');
  const curve = askedCurve(at0Ohm, at25Ohm, at50Ohm);
  if (curve !== null) refuseUnfit(curve);
  const told = toldCurve(tray.calibrations.curve(name), tray.run.service[PROBES[name].curve]);
  if (isSameCurve(told, curve) && tray.curves[name] !== 'lost') return { restarts: false };
  refuseAtOdds(ticker, name, curve);
  if (watering.dose.phase !== 'idle') refuse('pump-busy');
  keptOrRefuse(tray.keepCurve(name, curve, unixMsNow(tray)));
  tray.write({
    kind: 'curve',
    probe: name,
    at0Ohm: curve?.at0Ohm ?? Number.NaN,
    at25Ohm: curve?.at25Ohm ?? Number.NaN,
    at50Ohm: curve?.at50Ohm ?? Number.NaN,
  });
  ticker.restartSoon();
  return { restarts: true };
}

/** Null: the reference probe. */
function askedCurve(
  at0Ohm: number | undefined,
  at25Ohm: number | undefined,
  at50Ohm: number | undefined,
): ProbeCurve | null {
  if (at0Ohm === undefined && at25Ohm === undefined && at50Ohm === undefined) return null;
  if (at0Ohm === undefined) refuse('bad-parameter', 'at0Ohm');
  if (at25Ohm === undefined) refuse('bad-parameter', 'at25Ohm');
  if (at50Ohm === undefined) refuse('bad-parameter', 'at50Ohm');
  return { at0Ohm, at25Ohm, at50Ohm };
}

function refuseUnfit(curve: ProbeCurve): void {
  const unfit = unfitCurve(curve);
  if (unfit === null) return;
  if (unfit.why === 'not-an-ntc') refuse('not-an-ntc');
  if (unfit.why === 'ntc-too-coarse') refuse('ntc-too-coarse', ...unfit.facts);
  refuse('ntc-out-of-range', ...unfit.facts);
}

/** Refuses a curve by which the probe, as it is now, would read what the other one rules out. */
function refuseAtOdds({ senses }: Ticker, name: ProbeName, curve: ProbeCurve | null): void {
  const byItC = readByC(curve, senses.probes[name].code);
  for (const other of PROBE_NAMES) {
    if (other === name || senses.probes[other].doubtful) continue;
    const { celsius: otherC, code } = senses.probes[other];
    if (isAtOdds(byItC, otherC, readByC(curve, code))) refuse('curve-implausible', byItC, otherC);
  }
}
