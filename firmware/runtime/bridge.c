/*
 * Converter data sheet, "serial interface": data low means ready; 24 clock pulses shift the word out,
 * MSB first; one more selects channel A at gain 128. A pulse longer than 60 us powers the converter
 * down, so interrupts are masked while the clock is high.
 */
#include "bridge.h"
#include "board_map.h"
#include "pins.h"
#include "processor.h"

#define WORD_BITS 24u

static volatile int32_t newest_code;
static volatile bool fresh;

/* The converter wants each half to last 0.2 us at least: 30 cycles are that at up to 150 MHz. */
#define HALF_PULSE_TURNS 10u

/* One clock pulse; the data line as it stood at the end of the high half. */
static bool pulse(void) {
  uint32_t primask = interrupts_off();
  pin_set(PIN_SCALE_CLOCK, true);
  spin(HALF_PULSE_TURNS);
  bool bit = pin_get(PIN_SCALE_DATA);
  pin_set(PIN_SCALE_CLOCK, false);
  interrupts_restore(primask);
  spin(HALF_PULSE_TURNS);
  return bit;
}

void bridge_start(void) { pins_start_bridge(); }

void bridge_poll(void) {
  if (pin_get(PIN_SCALE_DATA)) {
    return;
  }
  uint32_t word = 0;
  for (uint32_t i = 0; i < WORD_BITS; i++) {
    word = word << 1 | pulse();
  }
  /* The pulse that selects the gain also returns the line to high; a line that stays low is stuck. */
  if (!pulse()) {
    return;
  }
  newest_code = (int32_t)(word << 8) >> 8;
  fresh = true;
}

bool bridge_take(int32_t *code) {
  uint32_t primask = interrupts_off();
  bool taken = fresh;
  *code = newest_code;
  fresh = false;
  interrupts_restore(primask);
  return taken;
}
