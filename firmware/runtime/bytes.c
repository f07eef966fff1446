/*
 * CRC, base64, ASCII, little-endian integers and what is erased in arrays of bytes, with the results of the modules of
 * shared/bytes that the build puts these in place of; what each saves: firmware/image/native/native.ts.
 * Where those would take a fraction or a negative offset to mean something, these throw.
 */
#include "bytes.h"
#include "arguments.h"
#include "crc32.h"

#define ASCII_LIMIT 0x80
/* As flash reads that is erased. */
#define ERASED 0xff

static const char alphabet[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
#define PADDING '='

/* Bytes `from` to `to` of an array, clipped to it, given as three arguments from the first on. */
struct range {
  uint32_t from;
  uint32_t to;
};

static struct range argument_range(txMachine *the) {
  uint32_t to = argument_clipped(the, 2, argument_bytes(the, 0).count);
  return (struct range){argument_clipped(the, 1, to), to};
}

/* crc32(bytes, from, to, seed) */
static void native_crc32(txMachine *the) {
  struct range range = argument_range(the);
  uint32_t before = argument_bits(the, 3);
  const uint8_t *bytes = argument_bytes(the, 0).data;
  fxUnsigned(the, mxResult, crc32(bytes + range.from, range.to - range.from, before));
}

/* toBase64(bytes, from, to): text */
static void native_toBase64(txMachine *the) {
  struct range range = argument_range(the);
  uint32_t length = (range.to - range.from + 2) / 3 * 4;
  fxStringBuffer(the, mxResult, C_NULL, (txSize)length);
  const uint8_t *bytes = argument_bytes(the, 0).data; /* where it lies after the allocation */
  txString text = mxResult->value.string;
  for (uint32_t i = range.from; i < range.to; i += 3) {
    uint32_t left = range.to - i;
    uint32_t group = (uint32_t)bytes[i] << 16 | (left > 1 ? (uint32_t)bytes[i + 1] << 8 : 0) |
                     (left > 2 ? bytes[i + 2] : 0);
    *text++ = alphabet[group >> 18];
    *text++ = alphabet[group >> 12 & 63];
    *text++ = left > 1 ? alphabet[group >> 6 & 63] : PADDING;
    *text++ = left > 2 ? alphabet[group & 63] : PADDING;
  }
}

/* putAscii(text, into): whether all of the text is ASCII and just fills the array */
static void native_putAscii(txMachine *the) {
  const uint8_t *text = (const uint8_t *)argument_text(the, 0);
  struct bytes into = argument_room(the, 1);
  uint32_t i = 0;
  for (; text[i] && text[i] < ASCII_LIMIT && i < into.count; i++) {
    into.data[i] = text[i];
  }
  fxBoolean(the, mxResult, text[i] == 0 && i == into.count);
}

/* asciiText(bytes, from, to): the text, undefined when a byte is not ASCII or is NUL */
static void native_asciiText(txMachine *the) {
  struct range range = argument_range(the);
  const uint8_t *bytes = argument_bytes(the, 0).data;
  for (uint32_t i = range.from; i < range.to; i++) {
    if (bytes[i] == 0 || bytes[i] >= ASCII_LIMIT) {
      return;
    }
  }
  uint32_t length = range.to - range.from;
  fxStringBuffer(the, mxResult, C_NULL, (txSize)length);
  bytes = argument_bytes(the, 0).data; /* where it lies after the allocation */
  c_memcpy(mxResult->value.string, bytes + range.from, length);
}

/* The part of `size` bytes at the offset in argument 1 that lies in the array. */
static struct bytes overlap(txMachine *the, struct bytes bytes, uint32_t size) {
  uint32_t offset = argument_offset(the, 1);
  if (offset >= bytes.count) {
    return (struct bytes){bytes.data, 0};
  }
  uint32_t left = bytes.count - offset;
  return (struct bytes){bytes.data + offset, size < left ? size : left};
}

/* `value` from the array, at any alignment; bytes outside are zero. The chip is little-endian too. */
static void read_number(txMachine *the, void *value, uint32_t size) {
  struct bytes from = overlap(the, argument_bytes(the, 0), size);
  c_memset(value, 0, size);
  c_memcpy(value, from.data, from.count);
}

/* `value` into the array, at any alignment; bytes outside are left out. */
static void write_number(txMachine *the, const void *value, uint32_t size) {
  struct bytes to = overlap(the, argument_room(the, 0), size);
  c_memcpy(to.data, value, to.count);
}

/* readU16(bytes, offset) and its kin */
static void native_readU16(txMachine *the) {
  uint16_t value;
  read_number(the, &value, sizeof value);
  fxInteger(the, mxResult, value);
}

static void native_readU32(txMachine *the) {
  uint32_t value;
  read_number(the, &value, sizeof value);
  fxUnsigned(the, mxResult, value);
}

/* writeU16(bytes, offset, value) and its kin */
static void native_writeU16(txMachine *the) {
  uint16_t value = (uint16_t)argument_bits(the, 2);
  write_number(the, &value, sizeof value);
}

static void native_writeU32(txMachine *the) {
  uint32_t value = argument_bits(the, 2);
  write_number(the, &value, sizeof value);
}

/* writtenBytes(bytes): how many there are up to the last that is not FFh */
static void native_writtenBytes(txMachine *the) {
  struct bytes bytes = argument_bytes(the, 0);
  uint32_t count = bytes.count;
  while (count > 0 && bytes.data[count - 1] == ERASED) {
    count--;
  }
  fxUnsigned(the, mxResult, count);
}

static const struct host_function functions[] = {
    {"crc32", native_crc32, 4},         {"toBase64", native_toBase64, 3},
    {"putAscii", native_putAscii, 2},   {"asciiText", native_asciiText, 3},
    {"readU16", native_readU16, 2},     {"readU32", native_readU32, 2},
    {"writeU16", native_writeU16, 3},   {"writeU32", native_writeU32, 3},
    {"writtenBytes", native_writtenBytes, 1},
};

void bytes_define(txMachine *the) {
  fxNewObject(the);
  define_functions(the, functions, sizeof functions / sizeof functions[0]);
  define_global(the, "native");
}
