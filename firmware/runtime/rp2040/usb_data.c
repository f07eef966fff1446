/*
 * RP2040 data sheet 4.1: the two data endpoints and the queues behind them. Everything but queueing
 * happens in the interrupt.
 */
#include "usb_data.h"
#include "processor.h"
#include "ring.h"
#include "usb.h"
#include "usb_descriptors.h"
#include "usb_registers.h"

static uint8_t received_bytes[LINK_RECEIVE_QUEUE_BYTES];
static uint8_t queued_bytes[LINK_SEND_QUEUE_BYTES];
static struct ring received = RING(received_bytes);
static struct ring queued = RING(queued_bytes);

static uint8_t configuration;
static bool port_open; /* DTR: a program holds the port */
static bool cut_off;   /* the last program may have left half a line with the reader */
static bool asker_gone; /* whoever sent what was fetched last does not listen any more */
static bool suspended;
static bool in_flight; /* a bulk IN buffer is the controller's */
static bool end_with_zero_packet;
static bool in_data1, out_data1;
static bool out_armed;

static void out_arm(void) {
  if (configuration && !out_armed && ring_free(&received) >= PACKET_BYTES) {
    out_armed = true;
    usb_arm(BUFFER_OUT(ENDPOINT_DATA), PACKET_BYTES | (out_data1 ? BUFFER_DATA1 : 0));
    out_data1 = !out_data1;
  }
}

static void in_arm(void) {
  if (!configuration || in_flight || (ring_used(&queued) == 0 && !end_with_zero_packet)) {
    return;
  }
  volatile uint8_t *to = usb_dual_port(OFFSET_DATA_IN);
  uint32_t count = 0;
  while (count < PACKET_BYTES && ring_used(&queued) > 0) {
    to[count++] = ring_take(&queued);
  }
  end_with_zero_packet = count == PACKET_BYTES && ring_used(&queued) == 0;
  in_flight = true;
  usb_arm(BUFFER_IN(ENDPOINT_DATA), count | BUFFER_FULL | (in_data1 ? BUFFER_DATA1 : 0));
  in_data1 = !in_data1;
}

/* The next program must meet neither requests nor replies of the last one. */
static void end_of_program(void) {
  port_open = false;
  cut_off = asker_gone = true;
  received.read = received.written;
  queued.read = queued.written;
  end_with_zero_packet = false;
}

/* Takes both buffers back from the controller: what waits in them belongs to a bus that is gone. */
static void disarm(void) {
  *BUFFER_IN(ENDPOINT_DATA) = 0;
  *BUFFER_OUT(ENDPOINT_DATA) = 0;
  in_flight = out_armed = false;
}

void usb_data_configure(uint8_t value) {
  configuration = value;
  end_of_program();
  disarm();
  in_data1 = out_data1 = false;
  out_arm();
}

uint8_t usb_data_configuration(void) { return configuration; }

void usb_data_clear_halt(uint32_t endpoint) {
  if (endpoint == ENDPOINT_DATA) {
    out_armed = out_data1 = false;
    out_arm();
  } else if (endpoint == (0x80 | ENDPOINT_DATA)) {
    in_flight = in_data1 = false;
    in_arm();
  }
}

void usb_data_open(bool open) {
  if (!open) {
    end_of_program();
    out_arm();
  } else if (!port_open && in_flight) {
    ring_put(&queued, '\n'); /* ends the piece of the last program's reply that is on its way */
  }
  port_open = open;
}

void usb_data_out_done(void) {
  uint32_t count = *BUFFER_OUT(ENDPOINT_DATA) & BUFFER_LENGTH_MASK;
  const volatile uint8_t *from = usb_dual_port(OFFSET_DATA_OUT);
  for (uint32_t i = 0; i < count && i < PACKET_BYTES; i++) {
    ring_put(&received, from[i]);
  }
  out_armed = false;
  out_arm();
}

void usb_data_in_done(void) {
  in_flight = false;
  in_arm();
}

void usb_data_suspend(bool asleep) { suspended = asleep; }

bool usb_data_suspended(void) { return suspended; }

bool usb_send(const uint8_t *bytes, uint32_t count) {
  uint32_t primask = interrupts_off();
  bool heard = configuration && port_open && !suspended && !asker_gone;
  bool taken = heard && ring_write(&queued, bytes, count);
  in_arm();
  interrupts_restore(primask);
  return taken;
}

uint32_t usb_receive(uint8_t *bytes, uint32_t limit) {
  uint32_t primask = interrupts_off();
  uint32_t count;
  asker_gone = cut_off;
  if (cut_off) {
    cut_off = false;
    bytes[0] = '\n';
    count = 1;
  } else {
    count = ring_read_line(&received, bytes, limit);
  }
  out_arm();
  interrupts_restore(primask);
  return count;
}

bool usb_waiting(void) {
  return cut_off || (ring_used(&received) > 0 && ring_free(&queued) >= LINK_REPLY_ROOM_BYTES);
}
