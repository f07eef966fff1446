/** The steps of a soak, in a grower's words. */
import { SOAK_PH, type Soak } from '../../shared/physics/soak';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { aboutVolume } from './about';

/** What is done, in order. Plugs and blocks lie in a bath; a slab is filled in its film. */
export function soakSteps(soak: Soak, units: UnitSystem): readonly string[] {
  const mix = aboutVolume(soak.mixMl, units);
  const from = formatQuantity('duration', soak.fromS, units);
  const to = formatQuantity('duration', soak.toS, units);
  const time = soak.fromS === soak.toS ? from : `${from} to ${to}`;
  const bath = `Mix ${mix} and bring it to pH ${SOAK_PH}, never below 5: \`trayward water acid\` tells how much acid. Take the first feed, or plain water.`;
  if (soak.form === 'slab') {
    return [
      bath,
      `Stand the slabs level in their film, uncut, and fill them to the top. Leave them full for ${time}.`,
      'Then cut the drain slits low on the side, and let run off what will. Never before: a slab that drains half full stays dry on top.',
      'Do not squeeze, step on or lift a full slab: the wool sags and holds no air.',
      'Catch what runs off and pour it away: it has the lime of the wool in it.',
      'Then feed: what was soaked in plain water is flushed with the first feed before it is planted.',
    ];
  }
  return [
    bath,
    `Lay the pieces in for ${time}, until no more bubbles rise.`,
    'Lift them out and shake off what drips. Do not squeeze: the wool sags and holds no air.',
    'Pour the bath away: it has the lime of the wool in it.',
    'Then feed: what was soaked in plain water gets the first feed before it is sown. The controller gives none until after emergence.',
  ];
}
