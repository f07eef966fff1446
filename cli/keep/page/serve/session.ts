/** Who is signed in: the token is said once, and a cookie that only this token could have made stands for it. */
import { createHash, createHmac, timingSafeEqual } from 'node:crypto';
import type { Secret } from '../../config/secret';
import { TOKEN_LIMITS } from '../limits';

const digest = (text: string): Buffer => createHash('sha256').update(text).digest();

/** In a time that tells nothing of where they differ, or how long they are. */
export const isSame = (a: string, b: string): boolean => timingSafeEqual(digest(a), digest(b));

/** A cookie tells until when it holds; a keeper that is started anew knows it still, one with a new token does not. */
export class Sessions {
  constructor(
    private readonly token: Secret,
    private readonly keeper: string,
  ) {}

  isToken(text: string): boolean {
    return isSame(text, this.token.reveal());
  }

  made(nowMs: number): string {
    const until = String(nowMs + TOKEN_LIMITS.sessionMs);
    return `${until}.${this.#signed(until)}`;
  }

  holds(cookie: string, nowMs: number): boolean {
    const [until = '', signed = ''] = cookie.split('.');
    return isSame(signed, this.#signed(until)) && Number(until) > nowMs;
  }

  #signed(until: string): string {
    const about = `trayward page of ${this.keeper} until ${until}`;
    return createHmac('sha256', this.token.reveal()).update(about).digest('base64url');
  }
}
