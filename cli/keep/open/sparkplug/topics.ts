/** Topics of Sparkplug B, as the specification 3.0.0 has them (chapter 4). Pure. */

const NAMESPACE = 'spBv1.0';

/** Who speaks: the edge node of a keeper. */
export interface NodeName {
  readonly group: string;
  readonly node: string;
}

export type Verb =
  | ('NBIRTH' | 'NDEATH' | 'NDATA' | 'NCMD')
  | ('DBIRTH' | 'DDEATH' | 'DDATA' | 'DCMD');

/** Topic of the edge node itself, or with `device` of one of its trays. */
export const topicOf = ({ group, node }: NodeName, verb: Verb, device?: string): string =>
  [NAMESPACE, group, verb, node, ...(device === undefined ? [] : [device])].join('/');

/** Where a host says whether it is there. */
export const hostTopic = (host: string): string => `${NAMESPACE}/STATE/${host}`;
