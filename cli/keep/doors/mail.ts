/** Mail, over SMTP with TLS. A message keeps its Message-ID however often it is sent. */
import { createTransport } from 'nodemailer';
import { MINUTE_MS } from '../../../shared/units/time';
import type { MailDoor } from '../config/plan';
import { hiding } from '../config/secret';
import { DOOR_LIMITS } from '../limits';
import { type Door, DoorError, idOf, type Letter, quoted, reasonOf } from './door';
import { lateText } from './late';

/** A server that greylists refuses at first, and takes it some minutes later. */
const GREYLIST_MS = MINUTE_MS;

export function createMailDoor(plan: MailDoor): Door {
  const { host, port, security, login, from, ca } = plan;
  const password = login?.password.reveal() ?? '';
  // As AUTH PLAIN sends them.
  const pair = `\0${login?.user ?? ''}\0${password}`;
  const hide = hiding(password === '' ? [] : [pair, password]);
  const { sendMostMs } = DOOR_LIMITS;
  const transport = createTransport({
    ...{ host, port, secure: security === 'tls', requireTLS: security === 'starttls' },
    ignoreTLS: security === 'none',
    ...(login === null ? {} : { auth: { user: login.user, pass: password } }),
    tls: { minVersion: 'TLSv1.2', ...(ca === null ? {} : { ca }) },
    ...{ connectionTimeout: sendMostMs, greetingTimeout: sendMostMs, socketTimeout: sendMostMs },
    // What a message is made of comes from the keeper alone: no file and no address is ever fetched for it.
    ...{ disableFileAccess: true, disableUrlAccess: true },
  });
  const domain = from.replace(/^.*@/, '');
  return {
    async send(letter) {
      try {
        await transport.sendMail({ ...mailOf(letter, from, domain) });
      } catch (error) {
        throw failureOf(error, `${host}:${port}`, hide);
      }
    },
    close: async () => transport.close(),
  };
}

function mailOf(
  { id, thread, to, message, nowMs, from: keeper }: Letter,
  from: string,
  domain: string,
) {
  const root = thread === null ? null : `<${idOf(thread)}@${domain}>`;
  return {
    from: { name: `Trayward ${keeper}`, address: from },
    to: to ?? from,
    subject: message.subject,
    text: `${message.text}\n${lateText(message, nowMs)}`,
    date: new Date(message.madeMs),
    messageId: `<${id}@${domain}>`,
    // Messages of one cause stand together in the mail program.
    ...(root === null ? {} : { references: root, inReplyTo: root }),
    headers: { 'Auto-Submitted': 'auto-generated' },
    ...(message.priority === 'high' ? { priority: 'high' as const } : {}),
  };
}

/** Why a mail did not go, by what the server answered and to which of our words. */
function failureOf(error: unknown, where: string, hide: (text: string) => string): DoorError {
  const { responseCode, response, command, code } = Object(error);
  const answer = typeof response === 'string' ? hide(response) : '';
  const quote = answer === '' ? '' : ` It answered: ${quoted(answer, DOOR_LIMITS.quoteChars)}`;
  if (code === 'EAUTH') {
    return new DoorError(
      'door',
      `The mail server ${where} does not take user and password.${quote}`,
    );
  }
  if (typeof responseCode === 'number') {
    const isOwn = /^(RCPT|DATA|MAIL)/i.test(String(command)) || code === 'EENVELOPE';
    const later = responseCode < 500;
    return new DoorError(
      isOwn ? 'message' : 'door',
      `The mail server ${where} ${later ? 'wants it again later' : 'refuses it'}.${quote}`,
      later ? GREYLIST_MS : 0,
    );
  }
  const known = reasonOf(error);
  const told = error instanceof Error ? quoted(hide(error.message), DOOR_LIMITS.quoteChars) : '';
  return new DoorError('door', `The mail server ${where} cannot be used. ${known ?? told}`);
}
