/* UART0, the link's second door: LINK_UART_BAUD, 8 data bits, no parity, 1 stop bit. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

void uart_start(void);

/* Queues all of the bytes, or none and false when the queue is full. */
bool uart_send(const uint8_t *bytes, uint32_t count);

/* Up to `limit` received bytes, to the end of a line at most; how many. */
uint32_t uart_receive(uint8_t *bytes, uint32_t limit);

/* Moves queued bytes on; called from the safety step in case an interrupt was missed. */
void uart_poll(void);

/* Received bytes wait, and there is room for a reply: otherwise the next request waits, too. */
bool uart_waiting(void);
