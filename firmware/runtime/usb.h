/* USB CDC-ACM device, the link's first door: full speed, one configuration, 64-byte bulk. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Makes the controller ready, off the bus. Needs `flash_start`: the serial number is the board's id. */
void usb_start(void);

/*
 * Once a second. The first look goes on the bus: by then the erases of a start are over, which would keep a host
 * waiting for longer than it may have to. Later ones begin afresh with a controller that has hung.
 */
void usb_watch(void);

/* No host is getting to know the board: an erase, with interrupts off, keeps nobody waiting. */
bool usb_settled(void);

/* Until the request under way is answered, for as long as the standard gives it at most: before an erase. */
void usb_await_control_end(void);

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
