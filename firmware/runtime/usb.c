/* RP2040 data sheet 4.1: device mode. Everything but queueing happens in the interrupt. */
#include "usb.h"
#include <string.h>
#include "flash.h"
#include "ring.h"
#include "rp2040.h"
#include "usb_descriptors.h"

#define ADDR_ENDP (USBCTRL_REGS_BASE + 0x00)
#define MAIN_CTRL (USBCTRL_REGS_BASE + 0x40)
#define SIE_CTRL (USBCTRL_REGS_BASE + 0x4c)
#define SIE_STATUS (USBCTRL_REGS_BASE + 0x50)
#define BUFF_STATUS (USBCTRL_REGS_BASE + 0x58)
#define EP_STALL_ARM (USBCTRL_REGS_BASE + 0x68)
#define USB_MUXING (USBCTRL_REGS_BASE + 0x74)
#define USB_PWR (USBCTRL_REGS_BASE + 0x78)
#define INTE (USBCTRL_REGS_BASE + 0x90)
#define INTS (USBCTRL_REGS_BASE + 0x98)
#define MAIN_CTRL_CONTROLLER_EN (1u << 0)
#define SIE_CTRL_EP0_INT_1BUF (1u << 29)
#define SIE_CTRL_PULLUP_EN (1u << 16)
#define SIE_STATUS_BUS_RESET (1u << 19)
#define SIE_STATUS_SETUP_REC (1u << 17)
#define SIE_STATUS_RESUME (1u << 11)
#define SIE_STATUS_SUSPENDED (1u << 4)
#define USB_MUXING_TO_PHY_SOFTCON ((1u << 0) | (1u << 3))
#define USB_PWR_VBUS_DETECT_FORCED ((1u << 3) | (1u << 2))
#define INT_SETUP_REQ (1u << 16)
#define INT_DEV_RESUME (1u << 15)
#define INT_DEV_SUSPEND (1u << 14)
#define INT_BUS_RESET (1u << 12)
#define INT_BUFF_STATUS (1u << 4)
/* Two bits of BUFF_STATUS and EP_STALL_ARM per endpoint. */
#define BIT_IN(endpoint) (1u << (2 * (endpoint)))
#define BIT_OUT(endpoint) (2u << (2 * (endpoint)))

/* Layout of the dual-port RAM (data sheet 4.1.2.5). */
#define SETUP_PACKET ((const volatile uint8_t *)USBCTRL_DPRAM_BASE)
#define EP_CTRL_IN(endpoint) REG(USBCTRL_DPRAM_BASE + 8u * (endpoint))
#define EP_CTRL_OUT(endpoint) REG(USBCTRL_DPRAM_BASE + 8u * (endpoint) + 4u)
#define BUFFER_IN(endpoint) (&REG(USBCTRL_DPRAM_BASE + 0x80u + 8u * (endpoint)))
#define BUFFER_OUT(endpoint) (&REG(USBCTRL_DPRAM_BASE + 0x84u + 8u * (endpoint)))
#define EP_CTRL_ENABLE (1u << 31)
#define EP_CTRL_INTERRUPT_PER_BUFFER (1u << 29)
#define EP_CTRL_TYPE(type) ((type) << 26)
#define BUFFER_FULL (1u << 15)
#define BUFFER_DATA1 (1u << 13)
#define BUFFER_STALL (1u << 11)
#define BUFFER_AVAILABLE (1u << 10)
#define BUFFER_LENGTH_MASK 0x3ffu
#define OFFSET_CONTROL 0x100u
#define OFFSET_NOTIFY_IN 0x180u
#define OFFSET_DATA_OUT 0x1c0u
#define OFFSET_DATA_IN 0x200u

/* Requests (USB 2.0 table 9-4; PSTN 1.2 table 13). */
enum { GET_STATUS, CLEAR_FEATURE, SET_FEATURE = 3, SET_ADDRESS = 5, GET_DESCRIPTOR = 6,
       GET_CONFIGURATION = 8, SET_CONFIGURATION = 9, GET_INTERFACE = 10, SET_INTERFACE = 11 };
enum { SET_LINE_CODING = 0x20, GET_LINE_CODING, SET_CONTROL_LINE_STATE, SEND_BREAK };
enum { DESCRIPTOR_DEVICE = 1, DESCRIPTOR_CONFIGURATION, DESCRIPTOR_STRING };
#define REQUEST_TYPE_MASK 0x60
#define REQUEST_CLASS 0x20
#define RECIPIENT_MASK 0x1f
#define RECIPIENT_ENDPOINT 2
#define LINE_STATE_DTR 1u
#define LINE_CODING_BYTES 7

static uint8_t received_bytes[LINK_RECEIVE_QUEUE_BYTES];
static uint8_t queued_bytes[LINK_SEND_QUEUE_BYTES];
static struct ring received = RING(received_bytes);
static struct ring queued = RING(queued_bytes);

static struct {
  const uint8_t *bytes; /* what is left of an IN data stage */
  uint32_t count;
  bool data_stage;      /* IN data under way: a status packet OUT follows */
  bool zero_packet;     /* the data ended on a full packet, short of what was asked for */
  bool data1;
  bool expect_line_coding;
  uint8_t address;      /* to be taken after the status stage, 0: none */
} control;

static uint8_t line_coding[LINE_CODING_BYTES] = {0x00, 0xc2, 0x01, 0x00, 0, 0, 8}; /* 115200 8N1 */
static uint8_t reply[2 + 2 * 32];
static uint8_t configuration;
static bool open;      /* DTR: a program holds the port */
static bool suspended;
static bool in_flight; /* a bulk IN buffer is the controller's */
static bool end_with_zero_packet;
static bool in_data1, out_data1;
static bool out_armed;

/* AVAILABLE goes in a second write, after 12 processor cycles (data sheet 4.1.2.5.1). */
static void arm(volatile uint32_t *buffer, uint32_t value) {
  *buffer = value & ~BUFFER_AVAILABLE;
  __asm volatile("nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop");
  *buffer = value | BUFFER_AVAILABLE;
}

static volatile uint8_t *dual_port(uint32_t offset) {
  return (volatile uint8_t *)(USBCTRL_DPRAM_BASE + offset);
}

static void control_in_next(void) {
  uint32_t count = control.count < PACKET_BYTES ? control.count : PACKET_BYTES;
  volatile uint8_t *to = dual_port(OFFSET_CONTROL);
  for (uint32_t i = 0; i < count; i++) {
    to[i] = control.bytes[i];
  }
  control.bytes += count;
  control.count -= count;
  if (count < PACKET_BYTES) {
    control.zero_packet = false;
  }
  arm(BUFFER_IN(0), count | BUFFER_FULL | (control.data1 ? BUFFER_DATA1 : 0));
  control.data1 = !control.data1;
}

static void control_reply(const void *bytes, uint32_t count, uint32_t asked) {
  control.zero_packet = count < asked && count % PACKET_BYTES == 0;
  control.bytes = bytes;
  control.count = count < asked ? count : asked;
  control.data_stage = true;
  control_in_next();
}

static void control_accept(void) { arm(BUFFER_IN(0), BUFFER_FULL | BUFFER_DATA1); }

static void control_refuse(void) {
  REG(EP_STALL_ARM) = BIT_IN(0) | BIT_OUT(0);
  *BUFFER_IN(0) = BUFFER_STALL;
  *BUFFER_OUT(0) = BUFFER_STALL;
}

static void bulk_out_arm(void) {
  if (configuration && !out_armed && ring_free(&received) >= PACKET_BYTES) {
    out_armed = true;
    arm(BUFFER_OUT(ENDPOINT_DATA), PACKET_BYTES | (out_data1 ? BUFFER_DATA1 : 0));
    out_data1 = !out_data1;
  }
}

static void bulk_in_next(void) {
  if (!configuration || in_flight || (ring_used(&queued) == 0 && !end_with_zero_packet)) {
    return;
  }
  volatile uint8_t *to = dual_port(OFFSET_DATA_IN);
  uint32_t count = 0;
  while (count < PACKET_BYTES && ring_used(&queued) > 0) {
    to[count++] = ring_take(&queued);
  }
  end_with_zero_packet = count == PACKET_BYTES && ring_used(&queued) == 0;
  in_flight = true;
  arm(BUFFER_IN(ENDPOINT_DATA), count | BUFFER_FULL | (in_data1 ? BUFFER_DATA1 : 0));
  in_data1 = !in_data1;
}

static void forget_queued(void) {
  queued.read = queued.written;
  end_with_zero_packet = false;
}

static void configure(uint8_t value) {
  configuration = value;
  in_flight = out_armed = in_data1 = out_data1 = false;
  open = false;
  forget_queued();
  bulk_out_arm();
}

static void reply_string(uint32_t index, uint32_t asked) {
  char serial[17];
  const char *text;
  switch (index) {
    case STRING_LANGUAGE: control_reply(language_descriptor, sizeof language_descriptor, asked); return;
    case STRING_MAKER: text = LINK_PRODUCT_NAME; break;
    case STRING_PRODUCT: text = LINK_PRODUCT_NAME; break;
    case STRING_SERIAL: flash_board_id(serial); text = serial; break;
    default: control_refuse(); return;
  }
  uint32_t count = 2;
  for (; *text && count < sizeof reply; text++) { /* UTF-16, little end first */
    reply[count++] = (uint8_t)*text;
    reply[count++] = 0;
  }
  reply[0] = (uint8_t)count;
  reply[1] = DESCRIPTOR_STRING;
  control_reply(reply, count, asked);
}

static void reply_descriptor(uint32_t value, uint32_t asked) {
  switch (HIGH(value)) {
    case DESCRIPTOR_DEVICE:
      control_reply(device_descriptor, sizeof device_descriptor, asked);
      return;
    case DESCRIPTOR_CONFIGURATION:
      control_reply(configuration_descriptor, sizeof configuration_descriptor, asked);
      return;
    case DESCRIPTOR_STRING: reply_string(LOW(value), asked); return;
    default: control_refuse(); /* a full-speed device has no qualifier */
  }
}

/* ENDPOINT_HALT cleared: the endpoint starts again at DATA0 (USB 2.0 section 9.4.5). */
static void clear_halt(uint32_t endpoint) {
  if (endpoint == ENDPOINT_DATA) {
    out_armed = out_data1 = false;
    bulk_out_arm();
  } else if (endpoint == (0x80 | ENDPOINT_DATA)) {
    in_flight = in_data1 = false;
    bulk_in_next();
  }
}

static void standard_request(uint32_t recipient, uint32_t request, uint32_t value, uint32_t index,
                             uint32_t asked) {
  switch (request) {
    case GET_STATUS: reply[0] = reply[1] = 0; control_reply(reply, 2, asked); break;
    case CLEAR_FEATURE:
      if (recipient == RECIPIENT_ENDPOINT) {
        clear_halt(index);
      }
      control_accept();
      break;
    case SET_ADDRESS: control.address = value & 0x7f; control_accept(); break;
    case GET_DESCRIPTOR: reply_descriptor(value, asked); break;
    case GET_CONFIGURATION: reply[0] = configuration; control_reply(reply, 1, asked); break;
    case SET_CONFIGURATION:
      if (value > 1) {
        control_refuse();
      } else {
        configure((uint8_t)value);
        control_accept();
      }
      break;
    case GET_INTERFACE: reply[0] = 0; control_reply(reply, 1, asked); break;
    case SET_INTERFACE:
      if (value == 0) {
        control_accept();
      } else {
        control_refuse();
      }
      break;
    default: control_refuse();
  }
}

static void class_request(uint32_t request, uint32_t value, uint32_t asked) {
  switch (request) {
    case SET_LINE_CODING: /* kept and told back; a USB door has no baud rate */
      control.expect_line_coding = true;
      arm(BUFFER_OUT(0), PACKET_BYTES | BUFFER_DATA1);
      break;
    case GET_LINE_CODING: control_reply(line_coding, sizeof line_coding, asked); break;
    case SET_CONTROL_LINE_STATE:
      open = value & LINE_STATE_DTR;
      if (!open) {
        forget_queued(); /* the next program must not read the last one's replies */
      }
      control_accept();
      break;
    case SEND_BREAK: control_accept(); break;
    default: control_refuse();
  }
}

static void on_setup(void) {
  const volatile uint8_t *packet = SETUP_PACKET;
  uint32_t type = packet[0], request = packet[1];
  uint32_t value = packet[2] | packet[3] << 8;
  uint32_t index = packet[4] | packet[5] << 8;
  uint32_t asked = packet[6] | packet[7] << 8;
  memset(&control, 0, sizeof control);
  control.data1 = true; /* the data stage starts at DATA1 */
  if ((type & REQUEST_TYPE_MASK) == 0) {
    standard_request(type & RECIPIENT_MASK, request, value, index, asked);
  } else if ((type & REQUEST_TYPE_MASK) == REQUEST_CLASS) {
    class_request(request, value, asked);
  } else {
    control_refuse();
  }
}

static void on_control_in_done(void) {
  if (control.address) {
    REG(ADDR_ENDP) = control.address;
    control.address = 0;
  } else if (control.count > 0 || control.zero_packet) {
    control_in_next();
  } else if (control.data_stage) {
    control.data_stage = false;
    arm(BUFFER_OUT(0), BUFFER_DATA1);
  }
}

static void on_control_out_done(void) {
  if (control.expect_line_coding) {
    control.expect_line_coding = false;
    for (uint32_t i = 0; i < LINE_CODING_BYTES; i++) {
      line_coding[i] = dual_port(OFFSET_CONTROL)[i];
    }
    control_accept();
  }
}

static void on_bulk_out_done(void) {
  uint32_t count = *BUFFER_OUT(ENDPOINT_DATA) & BUFFER_LENGTH_MASK;
  const volatile uint8_t *from = dual_port(OFFSET_DATA_OUT);
  for (uint32_t i = 0; i < count && i < PACKET_BYTES; i++) {
    ring_put(&received, from[i]);
  }
  out_armed = false;
  bulk_out_arm();
}

static void on_buffers_done(void) {
  uint32_t done = REG(BUFF_STATUS);
  REG(BUFF_STATUS) = done;
  if (done & BIT_IN(0)) {
    on_control_in_done();
  }
  if (done & BIT_OUT(0)) {
    on_control_out_done();
  }
  if (done & BIT_OUT(ENDPOINT_DATA)) {
    on_bulk_out_done();
  }
  if (done & BIT_IN(ENDPOINT_DATA)) {
    in_flight = false;
    bulk_in_next();
  }
}

void usb_irq(void) {
  uint32_t status = REG(INTS);
  if (status & INT_BUS_RESET) {
    REG(SIE_STATUS) = SIE_STATUS_BUS_RESET;
    REG(ADDR_ENDP) = 0;
    memset(&control, 0, sizeof control);
    suspended = false;
    configure(0);
  }
  if (status & INT_DEV_SUSPEND) {
    REG(SIE_STATUS) = SIE_STATUS_SUSPENDED;
    suspended = true;
  }
  if (status & INT_DEV_RESUME) {
    REG(SIE_STATUS) = SIE_STATUS_RESUME;
    suspended = false;
  }
  if (status & INT_SETUP_REQ) {
    REG(SIE_STATUS) = SIE_STATUS_SETUP_REC;
    on_setup();
  }
  if (status & INT_BUFF_STATUS) {
    on_buffers_done();
  }
}

void usb_start(void) {
  REG_SET(RESETS_BASE) = RESETS_USBCTRL;
  unreset(RESETS_USBCTRL);
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
  bool taken = configuration && open && !suspended && ring_write(&queued, bytes, count);
  bulk_in_next();
  interrupts_restore(primask);
  return taken;
}

uint32_t usb_receive(uint8_t *bytes, uint32_t limit) {
  uint32_t count = ring_read(&received, bytes, limit);
  uint32_t primask = interrupts_off();
  bulk_out_arm();
  interrupts_restore(primask);
  return count;
}

bool usb_waiting(void) { return ring_used(&received) > 0; }
