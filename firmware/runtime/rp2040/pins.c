/* RP2040 data sheet 2.19 (GPIO) and 2.3.1.2 (SIO). */
#include "pins.h"
#include "pads.h"

#define IO_BANK0_GPIO_CTRL(pin) (IO_BANK0_BASE + 8u * (pin) + 4u)
#define FUNCSEL_SIO 5u
#define PADS_BANK0_GPIO(pin) (PADS_BANK0_BASE + 4u + 4u * (pin))
#define PAD_OD (1u << 7)
#define PAD_IE (1u << 6)
#define PAD_DRIVE_4MA (1u << 4)
#define PAD_PUE (1u << 3)
#define PAD_PDE (1u << 2)
#define PAD_SCHMITT (1u << 1)
#define SIO_GPIO_IN (SIO_BASE + 0x04)
#define SIO_GPIO_OUT_SET (SIO_BASE + 0x14)
#define SIO_GPIO_OE_SET (SIO_BASE + 0x24)

void pin_function(uint32_t pin, uint32_t function) {
  REG(PADS_BANK0_GPIO(pin)) = PAD_IE | PAD_DRIVE_4MA | PAD_PDE | PAD_SCHMITT;
  REG(IO_BANK0_GPIO_CTRL(pin)) = function;
}

void pins_make_safe(void) {
  unreset(RESETS_IO_BANK0 | RESETS_PADS_BANK0);
  const uint32_t driven = LOADS | (1u << PIN_LAMP);
  REG(SIO_GPIO_OUT_CLR) = driven;
  REG(SIO_GPIO_OE_SET) = driven;
  pin_function(PIN_MAT, FUNCSEL_SIO);
  pin_function(PIN_PUMP, FUNCSEL_SIO);
  pin_function(PIN_FEED, FUNCSEL_SIO);
  pin_function(PIN_ARM, FUNCSEL_SIO);
  pin_function(PIN_SOUNDER, FUNCSEL_SIO);
  pin_function(PIN_LAMP, FUNCSEL_SIO);
}

void pin_pull_up(uint32_t pin) {
  REG(PADS_BANK0_GPIO(pin)) = PAD_IE | PAD_SCHMITT | PAD_PUE;
}

void pins_start_bridge(void) {
  pin_set(PIN_SCALE_CLOCK, false);
  REG(SIO_GPIO_OE_SET) = 1u << PIN_SCALE_CLOCK;
  pin_function(PIN_SCALE_CLOCK, FUNCSEL_SIO);
  pin_function(PIN_SCALE_DATA, FUNCSEL_SIO);
  pin_pull_up(PIN_SCALE_DATA); /* a missing converter must read as "never ready", which is high */
}

void pin_analog(uint32_t pin) { REG(PADS_BANK0_GPIO(pin)) = PAD_OD; }

void pin_analog_low(uint32_t pin) { REG(PADS_BANK0_GPIO(pin)) = PAD_OD | PAD_PDE; }

void pin_set(uint32_t pin, bool high) {
  REG(high ? SIO_GPIO_OUT_SET : SIO_GPIO_OUT_CLR) = 1u << pin;
}

bool pin_get(uint32_t pin) { return (REG(SIO_GPIO_IN) >> pin) & 1u; }

void pins_outputs_off(void) { REG(SIO_GPIO_OUT_CLR) = LOADS; }
