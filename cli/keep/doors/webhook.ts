/** A webhook: JSON by POST, signed as the Standard Webhooks specification 1.0.0 has it, so that a receiver knows it is ours. */
import { createHmac } from 'node:crypto';
import type { WebhookDoor } from '../config/plan';
import { hiding, partsOfAddress } from '../config/secret';
import { DOOR_LIMITS } from '../limits';
import { type Door, DoorError, type Letter, quoted, reasonOf } from './door';

/** Seconds or a date, as HTTP has them (RFC 9110, 10.2.3). */
function retryAfterMs(header: string | null, nowMs: number): number {
  if (header === null) return 0;
  const ms = /^\d+$/.test(header) ? Number(header) * 1000 : Date.parse(header) - nowMs;
  return Number.isFinite(ms) ? Math.min(Math.max(0, ms), DOOR_LIMITS.againMostMs) : 0;
}

/** The body that is sent, with nothing in it that a receiver need not know. */
export function bodyOf({ id, from, thread, message, to }: Letter): string {
  const { kind, priority, tray, madeMs, subject, text } = message;
  const timestamp = new Date(madeMs).toISOString();
  return JSON.stringify({
    ...{ type: `trayward.${kind}`, timestamp },
    data: { id, keeper: from, tray, topic: thread, kind, priority, subject, text, to },
  });
}

/** `v1,` and the HMAC-SHA256 of id, time and body, in base64. */
export function signatureOf(secret: string, id: string, atS: number, body: string): string {
  const hmac = createHmac('sha256', secret).update(`${id}.${atS}.${body}`);
  return `v1,${hmac.digest('base64')}`;
}

export function createWebhookDoor({ name, url, secret }: WebhookDoor): Door {
  const address = url.reveal();
  const hide = hiding([...partsOfAddress(address), secret.reveal()]);
  return {
    async send(letter) {
      const body = bodyOf(letter);
      const atS = Math.floor(letter.nowMs / 1000);
      const answer = await post(
        address,
        name,
        hide,
        {
          'content-type': 'application/json',
          'webhook-id': letter.id,
          'webhook-timestamp': String(atS),
          'webhook-signature': signatureOf(secret.reveal(), letter.id, atS, body),
        },
        body,
      );
      const { ok, status, headers } = answer;
      if (ok) {
        await answer.body?.cancel();
        return;
      }
      const said = quoted(hide(await answer.text().catch(() => '')), DOOR_LIMITS.quoteChars);
      const waitMs = retryAfterMs(headers.get('retry-after'), letter.nowMs);
      throw new DoorError(
        'door',
        `The webhook "${name}" answers ${status}.${said === '' ? '' : ` It says: ${said}`}`,
        waitMs,
      );
    },
    close: async () => {},
  };
}

async function post(
  address: string,
  name: string,
  hide: (text: string) => string,
  headers: Readonly<Record<string, string>>,
  body: string,
): Promise<Response> {
  try {
    return await fetch(address, {
      ...{ method: 'POST', headers, body },
      // A receiver that sends us elsewhere is not the one that was named.
      redirect: 'error',
      signal: AbortSignal.timeout(DOOR_LIMITS.sendMostMs),
    });
  } catch (error) {
    // `fetch` itself only says that it failed; the cause says why.
    const { message = '', cause = null } = Object(error);
    const told = quoted(hide(String(Object(cause).message ?? message)), DOOR_LIMITS.quoteChars);
    const slow = Object(error).name === 'TimeoutError' ? 'It does not answer.' : null;
    throw new DoorError(
      'door',
      `The webhook "${name}" cannot be reached. ${slow ?? reasonOf(error) ?? told}`,
    );
  }
}
