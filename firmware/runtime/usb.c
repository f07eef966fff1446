/*
 * RP2040 data sheet 4.1: device mode. Bus events and the two data endpoints; endpoint 0 is
 * usb_control.c. Everything but queueing happens in the interrupt.
 */
#include "usb.h"
#include "ring.h"
#include "usb_control.h"
#include "usb_data.h"
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

static void in_next(void) {
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
    in_next();
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

static void on_out_done(void) {
  uint32_t count = *BUFFER_OUT(ENDPOINT_DATA) & BUFFER_LENGTH_MASK;
  const volatile uint8_t *from = usb_dual_port(OFFSET_DATA_OUT);
  for (uint32_t i = 0; i < count && i < PACKET_BYTES; i++) {
    ring_put(&received, from[i]);
  }
  out_armed = false;
  out_arm();
}

static void on_buffers_done(void) {
  uint32_t done = REG(BUFF_STATUS);
  REG(BUFF_STATUS) = done;
  if (done & BIT_IN(0)) {
    usb_control_in_done();
  }
  if (done & BIT_OUT(0)) {
    usb_control_out_done();
  }
  if (done & BIT_OUT(ENDPOINT_DATA)) {
    on_out_done();
  }
  if (done & BIT_IN(ENDPOINT_DATA)) {
    in_flight = false;
    in_next();
  }
}

static void on_bus_reset(void) {
  REG(SIE_STATUS) = SIE_STATUS_BUS_RESET;
  REG(ADDR_ENDP) = 0;
  usb_control_reset();
  suspended = false;
  usb_data_configure(0);
}

void usb_irq(void) {
  uint32_t status = REG(INTS);
  if (status & INT_BUS_RESET) {
    on_bus_reset();
  }
  if (status & INT_DEV_SUSPEND) {
    REG(SIE_STATUS) = SIE_STATUS_SUSPENDED;
    suspended = true;
  }
  if (status & INT_DEV_RESUME) {
    REG(SIE_STATUS) = SIE_STATUS_RESUME;
    suspended = false;
  }
  /* Whoever moves packets is awake, however it woke. */
  if (status & (INT_BUFF_STATUS | INT_SETUP_REQ)) {
    suspended = false;
  }
  /* After a flash operation both may wait: the end of one transfer comes before the next one's start. */
  if (status & INT_BUFF_STATUS) {
    on_buffers_done();
  }
  if (status & INT_SETUP_REQ) {
    REG(SIE_STATUS) = SIE_STATUS_SETUP_REC;
    usb_control_setup();
  }
}

void usb_start(void) {
  reset_afresh(RESETS_USBCTRL);
  for (uint32_t offset = 0; offset < OFFSET_CONTROL; offset += 4) {
    REG(USBCTRL_DPRAM_BASE + offset) = 0;
  }
  REG(USB_MUXING) = USB_MUXING_TO_PHY_SOFTCON;
  REG(USB_PWR) = USB_PWR_VBUS_DETECT_FORCED;
  EP_CTRL_IN(ENDPOINT_NOTIFY_IN) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(3u) | OFFSET_NOTIFY_IN;
  EP_CTRL_OUT(ENDPOINT_DATA) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(2u) | OFFSET_DATA_OUT;
  EP_CTRL_IN(ENDPOINT_DATA) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(2u) | OFFSET_DATA_IN;
  REG(MAIN_CTRL) = MAIN_CTRL_CONTROLLER_EN;
  REG(SIE_CTRL) = SIE_CTRL_EP0_INT_1BUF;
  REG(INTE) = INT_BUFF_STATUS | INT_BUS_RESET | INT_SETUP_REQ | INT_DEV_SUSPEND | INT_DEV_RESUME;
  interrupt_enable(USBCTRL_IRQ, 1);
  REG_SET(SIE_CTRL) = SIE_CTRL_PULLUP_EN;
}

bool usb_send(const uint8_t *bytes, uint32_t count) {
  uint32_t primask = interrupts_off();
  bool heard = configuration && port_open && !suspended && !asker_gone;
  bool taken = heard && ring_write(&queued, bytes, count);
  in_next();
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
