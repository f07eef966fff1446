/** The door of each kind. Its library is loaded only where it is used. */
import type { DoorPlan } from '../config/plan';
import type { Door } from './door';

export async function openDoor(plan: DoorPlan, keeper: string): Promise<Door> {
  switch (plan.kind) {
    case 'mail':
      return (await import('./mail')).createMailDoor(plan);
    case 'webhook':
      return (await import('./webhook')).createWebhookDoor(plan);
    case 'mqtt':
      return (await import('./mqtt')).createMqttDoor(plan, keeper);
  }
}
