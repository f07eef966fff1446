/** Scripts and looks of the page: named by what is in them, so that a browser keeps them for good. */
import { createHash } from 'node:crypto';
import { ICON, PAGE_STYLE } from '../draw/style';

export type AssetName = 'style.css' | 'icon.svg' | 'room.js' | 'tray.js' | 'old.js';

export interface Asset {
  readonly type: string;
  readonly text: string;
}

/** For browsers that know no modules: it must be as old as they are. */
const OLD = "document.getElementById('old').hidden=false;";

const TYPES: Readonly<Record<string, string>> = {
  css: 'text/css; charset=utf-8',
  svg: 'image/svg+xml',
  js: 'text/javascript; charset=utf-8',
};

export class Assets {
  readonly #paths = new Map<AssetName, string>();
  readonly #assets = new Map<string, Asset>();

  constructor(scripts: { readonly room: string; readonly tray: string }) {
    this.#add('style.css', PAGE_STYLE);
    this.#add('icon.svg', ICON);
    this.#add('room.js', scripts.room);
    this.#add('tray.js', scripts.tray);
    this.#add('old.js', OLD);
  }

  pathOf(name: AssetName): string {
    return this.#paths.get(name) ?? '/';
  }

  at(path: string): Asset | null {
    return this.#assets.get(path) ?? null;
  }

  #add(name: AssetName, text: string): void {
    const hash = createHash('sha256').update(text).digest('hex').slice(0, 12);
    const [stem = '', ending = ''] = name.split('.');
    const path = `/assets/${stem}-${hash}.${ending}`;
    this.#paths.set(name, path);
    this.#assets.set(path, { type: TYPES[ending] ?? 'text/plain', text });
  }
}
