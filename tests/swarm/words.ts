/** A plan as a short dated list, in a grower's words. */
import { FAULTS } from '../../firmware/bench/faults';
import { HAND_ACTIONS, type HandAction } from '../../firmware/bench/hand-actions';
import type { Breach, Plan, PlanEvent } from './plan';

const UNITS = { mass: 'g', volume: 'ml', duration: 's', lid: '', nothing: '' } as const;

/** Day, hours and minutes since the tray was put into service. */
function at(min: number): string {
  const hours = Math.floor(min / 60);
  return `${String(hours).padStart(3)} h ${String(Math.round(min % 60)).padStart(2, '0')}`;
}

function eventText(event: PlanEvent): string {
  switch (event.kind) {
    case 'hand': {
      const { says, takes }: HandAction = HAND_ACTIONS[event.action];
      return event.value === undefined ? says : `${says}: ${event.value} ${UNITS[takes]}`;
    }
    case 'lid':
      return `puts the lid so: ${event.place}`;
    case 'fault':
      return `fault ${event.fault} for ${event.forMin} min: ${FAULTS[event.fault]}`;
    case 'mark':
      return `marks ${event.mark}${event.volumeMl === undefined ? '' : `, ${event.volumeMl} ml`}, whatever is so`;
    case 'clock':
      return event.wrongByMin === 0
        ? 'sets the clock right'
        : `sets the clock wrong by ${event.wrongByMin} min`;
    case 'restart':
      return `the board restarts: ${event.cause}`;
    case 'cut-in-write':
      return `power goes in the ${event.writes}. write from now, for ${event.forMin} min`;
    case 'worn-flash':
      return `the sector at 0x${event.offset.toString(16)} takes no write for ${event.forMin} min`;
    case 'soak-and-mark':
      return 'soaks the tray, lets it drain and marks it soaked';
    case 'refill-and-mark':
      return 'refills with what the stage wants, and marks it';
    case 'recalibrate':
      return `calibrates the scale anew with ${event.massG} g`;
    case 'round':
      return 'does what the advice for each alarm says';
    case 'next-stage':
      return 'goes on to the next stage';
  }
}

/** Lines of text. */
export function planText(plan: Plan): string {
  const { seed, crop, profile, room, trayG, skipStages, putRightMin, stopMin, recoverMin } = plan;
  const own = profile === null ? 'as shipped' : 'with a profile of its own';
  return [
    `seed ${seed}: ${crop} ${own}, from stage ${skipStages} on; room ${room.meanC} C and ${room.swingK} K about it; tray of ${trayG} g`,
    ...plan.events.map((event) => `  ${at(event.atMin)}  ${eventText(event)}`),
    `  ${at(putRightMin)}  all is put right; the grower does what the advice says, every two hours; the tray dries beside its scale, and stops there for ${stopMin} min`,
    `  ${at(putRightMin + recoverMin)}  end`,
  ].join('\n');
}

export function breachText({ promise, atMin, says }: Breach): string {
  return `${promise} at ${at(atMin).trim()}: ${says}`;
}
