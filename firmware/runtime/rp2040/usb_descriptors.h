/* Descriptors of a CDC-ACM device (USB 2.0 chapter 9; CDC 1.2 section 5.2.3; PSTN 1.2 section 5.3). */
#pragma once
#include <stdint.h>
#include "board_map.h"

#define PACKET_BYTES 64
#define NOTIFY_PACKET_BYTES 8
#define ENDPOINT_NOTIFY_IN 1
#define ENDPOINT_DATA 2

/* The test identity set aside for private and laboratory use; a maker who sells boards needs their own. */
#define VENDOR_ID 0x1209
#define PRODUCT_ID 0x0001

#define LOW(word) ((word) & 0xff)
#define HIGH(word) ((word) >> 8)

enum { STRING_LANGUAGE, STRING_MAKER, STRING_PRODUCT, STRING_SERIAL };

static const uint8_t device_descriptor[] = {
    18, 1,                               /* length, DEVICE */
    LOW(0x0200), HIGH(0x0200),           /* USB 2.0 */
    0xef, 2, 1, /* made of functions, each with an association descriptor: Windows loads its driver for each */
    PACKET_BYTES,                        /* endpoint 0 */
    LOW(VENDOR_ID), HIGH(VENDOR_ID),     /**/
    LOW(PRODUCT_ID), HIGH(PRODUCT_ID),   /**/
    LOW(0x0100), HIGH(0x0100),           /* device release 1.0 */
    STRING_MAKER, STRING_PRODUCT, STRING_SERIAL,
    1, /* one configuration */
};

#define CONFIGURATION_BYTES 75
static const uint8_t configuration_descriptor[] = {
    9, 2, LOW(CONFIGURATION_BYTES), HIGH(CONFIGURATION_BYTES), 2, 1, 0, 0x80, 50, /* bus, 100 mA */
    8, 11, 0, 2, 2, 2, 0, 0,                     /* both interfaces are one function */
    9, 4, 0, 0, 1, 2, 2, 0, 0,                   /* interface 0: abstract control model */
    5, 0x24, 0, LOW(0x0110), HIGH(0x0110),       /* CDC header */
    5, 0x24, 1, 0, 1,                            /* call management: none */
    4, 0x24, 2, 2,                               /* line coding and line state requests */
    5, 0x24, 6, 0, 1,                            /* union of interfaces 0 and 1 */
    7, 5, 0x80 | ENDPOINT_NOTIFY_IN, 3, NOTIFY_PACKET_BYTES, 0, 16, /**/
    9, 4, 1, 0, 2, 10, 0, 0, 0,                  /* interface 1: data */
    7, 5, ENDPOINT_DATA, 2, PACKET_BYTES, 0, 0,  /**/
    7, 5, 0x80 | ENDPOINT_DATA, 2, PACKET_BYTES, 0, 0,
};
_Static_assert(sizeof configuration_descriptor == CONFIGURATION_BYTES, "wTotalLength");

static const uint8_t language_descriptor[] = {4, 3, LOW(0x0409), HIGH(0x0409)};
