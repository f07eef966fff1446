/** Rules about fuses and connectors when a load starts, and about what a connector may carry. */
import { netsOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { RAIL } from '../circuit/limits';
import { netsBehind, protectedNet } from './protection';
import type { Finding, Rule } from './rule';

/** Peak, A, through a fuse: the start of the hardest load behind it, on top of all others running. */
function peakBehindA(circuit: Circuit, fuse: PartOf<'fuse'>): number {
  const behind = netsBehind(circuit, fuse);
  const loads = partsOf(circuit, 'load').filter((load) =>
    [...netsOf(circuit, load).values()].some(
      (net) => behind.has(net.name) || (behind.has('RAIL') && net.use === 'feed'),
    ),
  );
  const running = loads.reduce((sum, load) => sum + load.ratings.ratedA, 0);
  const start = Math.max(0, ...loads.map((load) => load.ratings.peakA - load.ratings.ratedA));
  return running + start;
}

export const fuseBearsStart: Rule = {
  id: 'fuse-bears-start',
  statement: 'A fuse is rated for the start of what is behind it, or it blows on an ordinary day.',
  source: 'ISO 8820-3: a blade fuse holds its rating, and may open from 1.35 times it on',
  check(circuit) {
    return partsOf(circuit, 'fuse')
      .filter((fuse) => fuse.ratings.style === 'blade')
      .flatMap((fuse) => {
        const peakA = peakBehindA(circuit, fuse);
        if (peakA <= fuse.ratings.ratedA) return [];
        return [
          {
            part: fuse.ref,
            net: protectedNet(circuit, fuse)?.name ?? '(none)',
            why: `rated ${fuse.ratings.ratedA} A; what is behind it takes ${peakA.toFixed(1)} A when it starts.`,
          },
        ];
      });
  },
};

/** The fuse, A, in whose reach a connector lies: the largest whose nets it touches; before the main fuse what the supply gives. */
function throughA(circuit: Circuit, connector: PartOf<'connector'>): number {
  const nets = [...netsOf(circuit, connector).values()].map(({ name }) => name);
  if (nets.includes('INLET')) return RAIL.supplyFaultA;
  const fuses = partsOf(circuit, 'fuse').filter((fuse) => {
    const behind = netsBehind(circuit, fuse);
    return nets.some((name) => behind.has(name));
  });
  return Math.max(0, ...fuses.map((fuse) => fuse.ratings.ratedA));
}

export const connectorRatings: Rule = {
  id: 'connector-ratings',
  statement:
    'Every plug and terminal carries what the fuse before it lets through, the inlet all that the supply gives, at the highest rail in DC.',
  source: 'IEC 60364-4-43 principle; connector data sheets',
  check(circuit) {
    return partsOf(circuit, 'connector').flatMap((part) => {
      const needA = throughA(circuit, part);
      const feeds = [...netsOf(circuit, part).values()].filter(({ use }) => use === 'feed');
      const net = feeds[0]?.name ?? '(none)';
      const findings: Finding[] = [];
      if (part.ratings.ratedA < needA) {
        const why = `rated ${part.ratings.ratedA} A, where ${needA} A may flow.`;
        findings.push({ part: part.ref, net, why });
      }
      if (feeds.length > 0 && part.ratings.ratedV < RAIL.maxV) {
        findings.push({ part: part.ref, net, why: `rated ${part.ratings.ratedV} V DC.` });
      }
      return findings;
    });
  },
};
