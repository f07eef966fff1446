/* USB 2.0 chapter 9 and table 9-4; PSTN 1.2 table 13. */
#include "usb_control.h"
#include <stdbool.h>
#include <string.h>
#include "flash.h"
#include "usb_data.h"
#include "usb_descriptors.h"
#include "usb_registers.h"

enum { GET_STATUS, CLEAR_FEATURE, SET_ADDRESS = 5, GET_DESCRIPTOR = 6,
       GET_CONFIGURATION = 8, SET_CONFIGURATION = 9, GET_INTERFACE = 10, SET_INTERFACE = 11 };
enum { SET_LINE_CODING = 0x20, GET_LINE_CODING, SET_CONTROL_LINE_STATE, SEND_BREAK };
enum { DESCRIPTOR_DEVICE = 1, DESCRIPTOR_CONFIGURATION, DESCRIPTOR_STRING };
#define REQUEST_TO_HOST 0x80
#define REQUEST_TYPE_MASK 0x60
#define REQUEST_CLASS 0x20
#define RECIPIENT_MASK 0x1f
#define RECIPIENT_INTERFACE 1
#define RECIPIENT_ENDPOINT 2
#define LINE_STATE_DTR 1u
#define LINE_CODING_BYTES 7

static struct {
  const uint8_t *bytes; /* what is left of an IN data stage */
  uint32_t count;
  bool data_stage;      /* IN data under way: a status packet OUT follows */
  bool zero_packet;     /* the data ended on a full packet, short of what was asked for */
  bool data1;
  bool expect_line_coding;
  uint8_t address;      /* to be taken after the status stage, 0: none */
} control;
static volatile bool under_way;

/* Speed as UART0's, little-endian; one stop bit, no parity, 8 data bits (CDC PSTN 1.2, table 17). */
static uint8_t line_coding[LINE_CODING_BYTES] = {
    LINK_UART_BAUD & 0xff, LINK_UART_BAUD >> 8 & 0xff, LINK_UART_BAUD >> 16, 0, 0, 0, 8};
/* Longest text in a string descriptor; each letter takes two bytes behind two of head. */
#define STRING_CHARS_MAX 32
static uint8_t reply[2 + 2 * STRING_CHARS_MAX];
_Static_assert(sizeof LINK_PRODUCT_NAME - 1 <= STRING_CHARS_MAX, "product string");
_Static_assert(BOARD_ID_CHARS - 1 <= STRING_CHARS_MAX, "serial number");

static void control_in_arm(void) {
  uint32_t count = control.count < PACKET_BYTES ? control.count : PACKET_BYTES;
  volatile uint8_t *to = usb_dual_port(OFFSET_CONTROL);
  for (uint32_t i = 0; i < count; i++) {
    to[i] = control.bytes[i];
  }
  control.bytes += count;
  control.count -= count;
  if (count < PACKET_BYTES) {
    control.zero_packet = false;
  }
  usb_arm(BUFFER_IN(0), count | BUFFER_FULL | (control.data1 ? BUFFER_DATA1 : 0));
  control.data1 = !control.data1;
}

static void reply_bytes(const void *bytes, uint32_t count, uint32_t asked) {
  control.zero_packet = count < asked && count % PACKET_BYTES == 0;
  control.bytes = bytes;
  control.count = count < asked ? count : asked;
  control.data_stage = asked > 0;
  control_in_arm();
}

static void reply_byte(uint8_t byte, uint32_t asked) {
  reply[0] = byte;
  reply_bytes(reply, 1, asked);
}

static void acknowledge(void) { usb_arm(BUFFER_IN(0), BUFFER_FULL | BUFFER_DATA1); }

static void stall(void) {
  under_way = false;
  REG(EP_STALL_ARM) = BIT_IN(0) | BIT_OUT(0);
  *BUFFER_IN(0) = BUFFER_STALL;
  *BUFFER_OUT(0) = BUFFER_STALL;
}

static void acknowledge_if(bool acceptable) {
  if (acceptable) {
    acknowledge();
  } else {
    stall();
  }
}

static void reply_string(uint32_t index, uint32_t asked) {
  const char *text;
  switch (index) {
    case STRING_LANGUAGE: reply_bytes(language_descriptor, sizeof language_descriptor, asked); return;
    case STRING_MAKER:
    case STRING_PRODUCT: text = LINK_PRODUCT_NAME; break;
    case STRING_SERIAL: text = flash_board_id(); break;
    default: stall(); return;
  }
  uint32_t count = 2;
  for (; *text; text++) { /* UTF-16, little end first */
    reply[count++] = (uint8_t)*text;
    reply[count++] = 0;
  }
  reply[0] = (uint8_t)count;
  reply[1] = DESCRIPTOR_STRING;
  reply_bytes(reply, count, asked);
}

static void reply_descriptor(uint32_t value, uint32_t asked) {
  switch (HIGH(value)) {
    case DESCRIPTOR_DEVICE: reply_bytes(device_descriptor, sizeof device_descriptor, asked); return;
    case DESCRIPTOR_CONFIGURATION:
      reply_bytes(configuration_descriptor, sizeof configuration_descriptor, asked);
      return;
    case DESCRIPTOR_STRING: reply_string(LOW(value), asked); return;
    default: stall(); /* a full-speed device has no qualifier */
  }
}

/* A request that asks for something, or one that brings nothing: what else it may be has no case of its own. */
static void standard_get(uint32_t request, uint32_t value, uint32_t asked) {
  switch (request) {
    case GET_STATUS: reply[0] = reply[1] = 0; reply_bytes(reply, 2, asked); break;
    case GET_DESCRIPTOR: reply_descriptor(value, asked); break;
    case GET_CONFIGURATION: reply_byte(usb_data_configuration(), asked); break;
    case GET_INTERFACE: reply_byte(0, asked); break;
    default: stall();
  }
}

static void standard_set(uint32_t recipient, uint32_t request, uint32_t value, uint32_t index) {
  switch (request) {
    case CLEAR_FEATURE:
      if (recipient == RECIPIENT_ENDPOINT) {
        usb_data_clear_halt(index);
      }
      acknowledge();
      break;
    case SET_ADDRESS: control.address = value & 0x7f; acknowledge(); break;
    case SET_CONFIGURATION:
      if (value <= 1) {
        usb_data_configure((uint8_t)value);
      }
      acknowledge_if(value <= 1);
      break;
    case SET_INTERFACE: acknowledge_if(value == 0); break;
    default: stall();
  }
}

static void class_set(uint32_t request, uint32_t value, uint32_t brought) {
  if (request == SET_LINE_CODING && brought == LINE_CODING_BYTES) {
    /* kept and told back; a USB door has no baud rate */
    control.expect_line_coding = true;
    usb_arm(BUFFER_OUT(0), PACKET_BYTES | BUFFER_DATA1);
  } else if (request == SET_CONTROL_LINE_STATE && brought == 0) {
    usb_data_open(value & LINE_STATE_DTR);
    acknowledge();
  } else {
    acknowledge_if(request == SEND_BREAK && brought == 0);
  }
}

void usb_control_reset(void) {
  memset(&control, 0, sizeof control);
  under_way = false;
  *BUFFER_IN(0) = 0;
  *BUFFER_OUT(0) = 0;
}

bool usb_control_under_way(void) { return under_way; }

void usb_control_setup(void) {
  const volatile uint8_t *packet = SETUP_PACKET;
  uint32_t type = packet[0], request = packet[1];
  uint32_t value = packet[2] | packet[3] << 8;
  uint32_t index = packet[4] | packet[5] << 8;
  uint32_t asked = packet[6] | packet[7] << 8;
  usb_control_reset();
  under_way = true;
  control.data1 = true; /* the data stage starts at DATA1 */
  bool to_host = type & REQUEST_TO_HOST;
  uint32_t kind = type & REQUEST_TYPE_MASK;
  uint32_t recipient = type & RECIPIENT_MASK;
  bool of_class = kind == REQUEST_CLASS && recipient == RECIPIENT_INTERFACE;
  if (kind == 0 && to_host) {
    standard_get(request, value, asked);
  } else if (kind == 0 && asked == 0) {
    standard_set(recipient, request, value, index);
  } else if (of_class && to_host && request == GET_LINE_CODING) {
    reply_bytes(line_coding, sizeof line_coding, asked);
  } else if (of_class && !to_host) {
    class_set(request, value, asked);
  } else {
    stall();
  }
}

void usb_control_in_done(void) {
  if (control.count > 0 || control.zero_packet) {
    control_in_arm();
  } else if (control.data_stage) {
    control.data_stage = false;
    usb_arm(BUFFER_OUT(0), BUFFER_DATA1);
  } else {
    if (control.address) {
      REG(ADDR_ENDP) = control.address;
      control.address = 0;
    }
    under_way = false;
  }
}

void usb_control_out_done(void) {
  if (control.expect_line_coding) {
    control.expect_line_coding = false;
    for (uint32_t i = 0; i < LINE_CODING_BYTES; i++) {
      line_coding[i] = usb_dual_port(OFFSET_CONTROL)[i];
    }
    acknowledge();
  } else {
    under_way = false;
  }
}
