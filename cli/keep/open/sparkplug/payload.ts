/** Sparkplug B payloads as bytes: protobufjs over the specification's own schema. Pure. */
import protobuf from 'protobufjs';
import schema from './sparkplug_b.proto';

/** Numbers of data types that are used here (specification, 6.4.16). */
export const DATA_TYPE = { int32: 3, int64: 4, double: 10, boolean: 11, string: 12, dateTime: 13 };

export interface PropertySet {
  readonly keys: readonly string[];
  readonly values: readonly ({ readonly type: number } & ValueFields)[];
}

/** One of these is there, by the data type. */
export interface ValueFields {
  readonly intValue?: number;
  readonly longValue?: number;
  readonly floatValue?: number;
  readonly doubleValue?: number;
  readonly booleanValue?: boolean;
  readonly stringValue?: string;
}

/** Fields as the schema names them, in camel case. */
export interface Metric extends ValueFields {
  readonly name?: string;
  readonly alias?: number;
  readonly timestamp?: number;
  readonly datatype?: number;
  readonly isHistorical?: boolean;
  readonly isNull?: boolean;
  readonly properties?: PropertySet;
}

export interface Payload {
  readonly timestamp?: number;
  readonly metrics: readonly Metric[];
  readonly seq?: number;
}

const Message = protobuf.parse(schema).root.lookupType('org.eclipse.tahu.protobuf.Payload');

export const encode = (payload: Payload): Uint8Array =>
  Message.encode(Message.fromObject(payload)).finish();

/** Null for bytes that are no such payload. */
export function decode(bytes: Uint8Array): Payload | null {
  try {
    const object = Message.toObject(Message.decode(bytes), { longs: Number, arrays: true });
    // Sound: these are fields of the schema, each of its type.
    return object as Payload;
  } catch {
    return null;
  }
}
