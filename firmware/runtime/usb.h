/* USB CDC-ACM device, the link's first door: full speed, one configuration, 64-byte bulk. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Attaches to the bus. Needs `flash_start`: the serial number is the board's id. */
void usb_start(void);

/*
 * Queues all of the bytes, or none and false: nobody has the port open, whoever asked has gone, or the
 * queue is full.
 */
bool usb_send(const uint8_t *bytes, uint32_t count);

/*
 * Up to `limit` received bytes, to the end of a line at most; how many. The host is held back while
 * they are not fetched. After a program has gone, first a newline: it ends what that one left half sent.
 */
uint32_t usb_receive(uint8_t *bytes, uint32_t limit);

/* Received bytes wait, and there is room for a reply: otherwise the next request waits, too. */
bool usb_waiting(void);
