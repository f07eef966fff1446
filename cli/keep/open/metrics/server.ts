/** `/metrics` over HTTP: read by whoever reaches the address, and changes nothing. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { refused } from '../../../failure';
import { type Figures, formatFor, textOf } from './figures';

export const METRICS_PATH = '/metrics';

/** Answers one request. Never throws: nobody who looks may end the keeping of trays. */
async function answerMetrics(
  request: IncomingMessage,
  response: ServerResponse,
  figures: () => Figures,
): Promise<void> {
  const { method = '', headers } = request;
  if (method !== 'GET' && method !== 'HEAD') {
    response.writeHead(405, { allow: 'GET, HEAD' }).end();
    return;
  }
  const format = formatFor(headers.accept ?? '');
  try {
    const text = await textOf(figures(), format);
    response.writeHead(200, { 'content-type': format, 'cache-control': 'no-store' });
    response.end(method === 'HEAD' ? undefined : text);
  } catch (error) {
    const why = `Something went wrong inside the program (${Object(error).message}).`;
    response.writeHead(500, { 'content-type': 'text/plain; charset=utf-8' }).end(`${why}\n`);
  }
}

/** The system's codes for an address that cannot be had. */
const WHY_NOT: Readonly<Record<string, string>> = {
  EADDRINUSE: 'Another program listens there.',
  EADDRNOTAVAIL: 'This computer has no such address.',
  EACCES: 'This user may not listen there.',
  ENOTFOUND: 'No computer of that name is known.',
};

export class MetricsServer {
  private constructor(
    private readonly server: Server,
    readonly url: string,
  ) {}

  /** Listens. Throws `CommandError` where it cannot. */
  static async listen(
    { host, port }: { readonly host: string; readonly port: number },
    figures: () => Figures,
  ): Promise<MetricsServer> {
    const server = createServer((request, response) => {
      const [path] = (request.url ?? '').split('?');
      if (path === METRICS_PATH) void answerMetrics(request, response, figures);
      else response.writeHead(404).end();
    });
    await new Promise<void>((resolve, reject) => {
      server.once('error', (error) => reject(cannotListen(`${host}:${port}`, error)));
      server.listen(port, host, resolve);
    });
    const { port: real } = server.address() as AddressInfo;
    const name = host.includes(':') ? `[${host}]` : host;
    return new MetricsServer(server, `http://${name}:${real}${METRICS_PATH}`);
  }

  close(): Promise<void> {
    this.server.closeAllConnections();
    return new Promise((resolve) => this.server.close(() => resolve()));
  }
}

function cannotListen(where: string, error: Error) {
  const code = String(Object(error).code);
  return refused(
    'metrics-address',
    `/metrics cannot be had at ${where}. ${WHY_NOT[code] ?? `The system says ${code}.`}`,
    'Give another "listen:" under "metrics:", or stop that program.',
  );
}
