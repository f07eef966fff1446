/** A port as the link needs it: bytes out, bytes in, and the news that it has closed. */

export interface TransportListener {
  bytes(bytes: Uint8Array): void;
  /** Once, whoever closed it. */
  closed(): void;
}

export interface Transport {
  write(bytes: Uint8Array): void;
  /** To be called once, right after opening. */
  listen(listener: TransportListener): void;
  close(): Promise<void>;
}
