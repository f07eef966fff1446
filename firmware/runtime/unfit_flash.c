/* The refusal is a reply as `firmware/link/server.ts` makes them: the laptop has its sentence. */
#include "unfit_flash.h"
#include <string.h>
#include "board_map.h"
#include "crc32.h"
#include "flash.h"
#include "pins.h"
#include "processor.h"
#include "safety.h"
#include "timer.h"
#include "uart.h"
#include "usb.h"
#include "watchdog.h"

/* Three flashes of a quarter of a second, then dark for as long: no other code of the lamp looks like it. */
#define BLINK_MS 250u
#define BLINK_PARTS 12u
#define FLASHES 3u

/* How often USB is looked at. */
#define LOOK_MS 1000u

#define REQUEST_BYTES 256u
#define REPLY_BYTES 192u
#define KB 1024u
#define ID_DIGITS_MAX 15u

struct line {
  uint8_t bytes[REPLY_BYTES];
  uint32_t count;
};

static void put_bytes(struct line *line, const void *bytes, uint32_t count) {
  if (count <= REPLY_BYTES - line->count) {
    memcpy(line->bytes + line->count, bytes, count);
    line->count += count;
  }
}

static void put_text(struct line *line, const char *text) { put_bytes(line, text, strlen(text)); }

static void put_hex(struct line *line, uint32_t number, uint32_t digits) {
  for (uint32_t shift = 4 * digits; shift > 0; shift -= 4) {
    put_bytes(line, &"0123456789abcdef"[number >> (shift - 4) & 15], 1);
  }
}

static void put_number(struct line *line, uint32_t number) {
  if (number >= 10) {
    put_number(line, number / 10);
  }
  put_bytes(line, &"0123456789"[number % 10], 1);
}

/* The id of a request as the laptop writes it, in digits; `null` for any other. */
static void put_id(struct line *line, const uint8_t *request, uint32_t count) {
  static const char name[] = "\"id\":";
  const uint32_t length = sizeof name - 1;
  for (uint32_t at = 0; at + length < count; at++) {
    uint32_t digits = 0;
    if (memcmp(request + at, name, length) == 0) {
      const uint8_t *id = request + at + length;
      while (digits < count - at - length && id[digits] >= '0' && id[digits] <= '9') {
        digits++;
      }
      if (digits > 0 && digits <= ID_DIGITS_MAX) {
        put_bytes(line, id, digits);
        return;
      }
    }
  }
  put_text(line, "null");
}

static struct line refusal(const uint8_t *request, uint32_t count) {
  struct flash_chip chip = flash_chip();
  struct line line = {.count = 0};
  put_text(&line, "{\"jsonrpc\":\"2.0\",\"id\":");
  put_id(&line, request, count);
  put_text(&line, ",\"error\":{\"code\":" LINK_REFUSED ",\"message\":\"" LINK_FLASH_UNFIT "\",\"data\":[");
  put_number(&line, chip.bytes / KB);
  put_text(&line, ",");
  put_number(&line, FLASH_BYTES / KB);
  put_text(&line, ",\"");
  for (uint32_t i = 0; i < sizeof chip.jedec; i++) {
    put_hex(&line, chip.jedec[i], 2);
  }
  put_text(&line, "\"]}}");
  uint32_t crc = crc32(line.bytes, line.count, 0);
  put_text(&line, "*");
  put_hex(&line, crc, 8);
  put_text(&line, "\n");
  return line;
}

/* What has come of a line so far; of one that is longer, its end. */
struct request {
  uint8_t bytes[REQUEST_BYTES];
  uint32_t count;
};

/* Takes a piece from a door; whether the line is whole. */
static bool completes(struct request *request, uint32_t (*receive)(uint8_t *bytes, uint32_t limit)) {
  if (request->count == REQUEST_BYTES) {
    request->count = 0;
  }
  request->count += receive(request->bytes + request->count, REQUEST_BYTES - request->count);
  return request->count > 0 && request->bytes[request->count - 1] == '\n';
}

static void refuse(struct request *request, bool (*send)(const uint8_t *bytes, uint32_t count)) {
  struct line line = refusal(request->bytes, request->count);
  if (request->count > 1) { /* an empty line asks nothing */
    send(line.bytes, line.count);
  }
  request->count = 0;
}

static void refuse_requests(void) {
  static struct request by_usb, by_uart;
  if (usb_waiting() && completes(&by_usb, usb_receive)) {
    refuse(&by_usb, usb_send);
  }
  if (uart_waiting() && completes(&by_uart, uart_receive)) {
    refuse(&by_uart, uart_send);
  }
}

void unfit_flash(void) {
  uint64_t next_look_ms = 0;
  for (;;) {
    if (timer_ms() >= next_look_ms) {
      next_look_ms = timer_ms() + LOOK_MS;
      usb_watch();
    }
    uint32_t part = (uint32_t)(timer_ms() / BLINK_MS % BLINK_PARTS);
    pin_set(PIN_LAMP, part < 2 * FLASHES && part % 2 == 0);
    refuse_requests();
    if (safety_has_stepped()) {
      watchdog_feed();
    }
    sleep_until_interrupt();
  }
}
