/* RP2040 data sheet 4.2 (PL011). */
#include "uart.h"
#include "board_map.h"
#include "pads.h"
#include "ring.h"
#include "processor.h"
#include "rates.h"
#include "registers.h"

#define UARTDR (UART0_BASE + 0x00)
#define UARTFR (UART0_BASE + 0x18)
#define UARTIBRD (UART0_BASE + 0x24)
#define UARTFBRD (UART0_BASE + 0x28)
#define UARTLCR_H (UART0_BASE + 0x2c)
#define UARTCR (UART0_BASE + 0x30)
#define UARTIFLS (UART0_BASE + 0x34)
#define UARTIMSC (UART0_BASE + 0x38)
#define UARTICR (UART0_BASE + 0x44)
#define DR_FRAMING_ERROR (1u << 8)
#define DR_PARITY_ERROR (1u << 9)
#define DR_BREAK (1u << 10)
#define DR_OVERRUN (1u << 11)
/* The byte itself is none. */
#define DR_WRONG (DR_FRAMING_ERROR | DR_PARITY_ERROR | DR_BREAK)
#define FR_TXFF (1u << 5)
#define FR_RXFE (1u << 4)
#define LCR_H_8_BITS (3u << 5)
#define LCR_H_FIFOS (1u << 4)
#define CR_UARTEN (1u << 0)
#define CR_TXE (1u << 8)
#define CR_RXE (1u << 9)
#define INT_RX (1u << 4)
#define INT_TX (1u << 5)
#define INT_RX_TIMEOUT (1u << 6)
/*
 * Receive interrupt at an eighth of 32 bytes leaves 2.4 ms to answer it: an erase takes one of them, and a safety step with
 * a look at the mat more than half of one. Transmit at a quarter.
 */
#define IFLS_RX_EIGHTH_TX_QUARTER ((0u << 3) | 1u)

#define FUNCSEL_UART 2u
/* UART0 is brought out at these pins alone (data sheet 1.4.3). */
_Static_assert(PIN_LINK_TX == 0 || PIN_LINK_TX == 12 || PIN_LINK_TX == 16 || PIN_LINK_TX == 28,
               "not a TX of UART0");
_Static_assert(PIN_LINK_RX == 1 || PIN_LINK_RX == 13 || PIN_LINK_RX == 17 || PIN_LINK_RX == 29,
               "not an RX of UART0");
/* Divider in 64ths: integer part in IBRD, the rest in FBRD. */
#define DIVIDER_64THS ((CLK_PERI_HZ * 4u + LINK_UART_BAUD / 2u) / LINK_UART_BAUD)

/* So many are kept free in the queue, that a part of a line that is in it can always be made none. */
#define CUT_BYTES 2u

static uint8_t received_bytes[LINK_RECEIVE_QUEUE_BYTES];
static uint8_t queued_bytes[LINK_SEND_QUEUE_BYTES];
static struct ring received = RING(received_bytes);
static struct ring queued = RING(queued_bytes);
/* Queued bytes wait for the rest of their line; and what comes now, up to the newline, is not queued. */
static bool in_line, skipping;

void uart_start(void) {
  reset_afresh(RESETS_UART0);
  REG(UARTIBRD) = DIVIDER_64THS / 64u;
  REG(UARTFBRD) = DIVIDER_64THS % 64u;
  REG(UARTLCR_H) = LCR_H_8_BITS | LCR_H_FIFOS;
  pin_function(PIN_LINK_TX, FUNCSEL_UART);
  pin_function(PIN_LINK_RX, FUNCSEL_UART);
  pin_pull_up(PIN_LINK_RX); /* without an adapter the line must rest high, not in a break */
  REG(UARTCR) = CR_UARTEN | CR_TXE | CR_RXE;
  REG(UARTIFLS) = IFLS_RX_EIGHTH_TX_QUARTER;
  REG(UARTIMSC) = INT_RX | INT_RX_TIMEOUT;
  interrupt_enable(UART0_IRQ, 1);
}

/*
 * The transmit interrupt marks a falling FIFO level, so the FIFO must be filled by hand first. Masked:
 * the safety step comes here too, and may interrupt anybody else who does.
 */
static void fill_transmitter(void) {
  uint32_t primask = interrupts_off();
  while (ring_used(&queued) > 0 && !(REG(UARTFR) & FR_TXFF)) {
    REG(UARTDR) = ring_take(&queued);
  }
  REG(UARTIMSC) = INT_RX | INT_RX_TIMEOUT | (ring_used(&queued) > 0 ? INT_TX : 0);
  interrupts_restore(primask);
}

/* The queued part of a line is made none, whatever it says so far: the first byte is in no text. */
static void cut_line(void) {
  static const uint8_t cut[CUT_BYTES] = {0xff, '\n'};
  if (in_line) {
    ring_write(&received, cut, sizeof cut);
    in_line = false;
  }
}

/*
 * A flood loses whole lines, but for the one that it finds no more room for: that one is cut short. A byte that came wrong
 * spoils the rest of its line, and between lines it is noise. What follows a break, one character however long it lasts,
 * or bytes that were lost is taken for a line of its own, which it often is.
 */
static void queue_received(uint32_t data) {
  uint8_t byte = (uint8_t)data;
  if (data & (DR_BREAK | DR_OVERRUN)) {
    cut_line();
    skipping = false;
  }
  if (data & DR_WRONG) {
    skipping = skipping || in_line;
    cut_line();
  } else if (skipping) {
    skipping = byte != '\n';
  } else if (ring_free(&received) > CUT_BYTES) {
    ring_put(&received, byte);
    in_line = byte != '\n';
  } else {
    cut_line();
    skipping = byte != '\n';
  }
}

void uart_irq(void) {
  REG(UARTICR) = INT_RX | INT_RX_TIMEOUT | INT_TX;
  while (!(REG(UARTFR) & FR_RXFE)) {
    queue_received(REG(UARTDR));
  }
  fill_transmitter();
}

bool uart_send(const uint8_t *bytes, uint32_t count) {
  if (!ring_write(&queued, bytes, count)) {
    return false;
  }
  fill_transmitter();
  return true;
}

void uart_poll(void) { fill_transmitter(); }

uint32_t uart_receive(uint8_t *bytes, uint32_t limit) {
  return ring_read_line(&received, bytes, limit);
}

bool uart_waiting(void) {
  return ring_used(&received) > 0 && ring_free(&queued) >= LINK_REPLY_ROOM_BYTES;
}
