/** What a keeper is to do: its file, read and found whole, with the secrets in it. */
import type { UnitSystem } from '../../../shared/units';
import type { Hours, ListenAt } from './schema';
import type { Secret } from './secret';

export interface KeptTray {
  readonly name: string;
  /** Null: found by its controller. */
  readonly port: string | null;
  readonly controller: string | null;
}

interface Named {
  readonly name: string;
}

export interface MailDoor extends Named {
  readonly kind: 'mail';
  readonly host: string;
  readonly port: number;
  readonly security: 'tls' | 'starttls' | 'none';
  readonly login: { readonly user: string; readonly password: Secret } | null;
  readonly from: string;
  /** Certificate of an authority that is trusted besides the usual ones, PEM. */
  readonly ca: string | null;
}

export interface WebhookDoor extends Named {
  readonly kind: 'webhook';
  readonly url: Secret;
  readonly secret: Secret;
}

export interface MqttDoor extends Named {
  readonly kind: 'mqtt';
  readonly url: string;
  readonly login: { readonly user: string; readonly password: Secret } | null;
  readonly topic: string;
  /** Where journals go for a fleet; null: nowhere. */
  readonly journal: { readonly topic: string } | null;
  readonly ca: string | null;
}

export type DoorPlan = MailDoor | WebhookDoor | MqttDoor;

/** The keeper as an edge node of Sparkplug B. */
export interface SparkplugPlan {
  readonly url: string;
  readonly login: { readonly user: string; readonly password: Secret } | null;
  readonly ca: string | null;
  readonly group: string;
  readonly node: string;
  /** Id of the host that is waited for; null: none is. */
  readonly host: string | null;
  /** Whether alarms may be seen and mended, and marks set, from afar. */
  readonly orders: boolean;
}

/** What somebody is told of: `urgent` are high alarms alone. */
export type What = 'all' | 'alarms' | 'urgent' | 'morning';

/** Who is told what, by which door. */
export interface Tell {
  /** `Ann by mail`: once in a file. */
  readonly id: string;
  readonly who: string;
  readonly door: string;
  /** Address for mail; null for other doors. */
  readonly to: string | null;
  /** Names of trays; null: all. */
  readonly trays: readonly string[] | null;
  readonly what: What;
  /** Hours in which only high alarms are told. */
  readonly quiet: Hours | null;
}

/** The page that phones look at. */
export interface PagePlan {
  readonly listen: ListenAt;
  /** As it is reached from elsewhere; null where that was not said. */
  readonly url: string | null;
  /** Null: whoever uses this computer may look, and nobody else can. */
  readonly token: Secret | null;
}

export interface KeepPlan {
  /** Absolute path of the file. */
  readonly file: string;
  readonly name: string;
  readonly units: UnitSystem;
  /** Minute of the local day of the morning line. */
  readonly morningMin: number;
  readonly heartbeat: { readonly url: Secret; readonly everyMs: number } | null;
  readonly page: PagePlan | null;
  readonly sparkplug: SparkplugPlan | null;
  /** Where `/metrics` listens. */
  readonly metrics: { readonly host: string; readonly port: number } | null;
  readonly trays: readonly KeptTray[];
  readonly doors: readonly DoorPlan[];
  readonly tells: readonly Tell[];
}
