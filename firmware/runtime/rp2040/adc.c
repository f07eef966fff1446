/* RP2040 data sheet 4.9: one conversion at a time, 2 us each at 48 MHz. */
#include "adc.h"
#include "pads.h"
#include "registers.h"

#define ADC_CS (ADC_BASE + 0x00)
#define ADC_RESULT (ADC_BASE + 0x04)
#define CS_EN (1u << 0)
#define CS_START_ONCE (1u << 2)
#define CS_READY (1u << 8)
#define CS_ERR (1u << 9)
#define CS_AINSEL_LSB 12
#define RESULT_MASK 0xfffu

/* A turn takes 6 cycles at least, so this is ten conversions long: what takes longer never ends. */
#define READY_TURNS 400u
/* A conversion now and then may fail and is made again; a burst that needs more is none. */
#define CONVERSIONS_MAX (2u * PROBE_CONVERSIONS_PER_BURST)

/* The status as a conversion has ended; without CS_READY when none does. */
static uint32_t status_when_ready(void) {
  uint32_t status = 0;
  for (uint32_t turn = 0; turn < READY_TURNS && !(status & CS_READY); turn++) {
    status = REG(ADC_CS);
  }
  return status;
}

void adc_start(void) {
  reset_afresh(RESETS_ADC);
  static const uint32_t pins[PROBE_COUNT] = PROBE_PINS;
  for (uint32_t channel = 0; channel < PROBE_COUNT; channel++) {
    pin_analog(pins[channel]);
  }
  pin_analog_low(LOADS_SENSE_GPIO);
  REG(ADC_CS) = CS_EN;
  status_when_ready(); /* if it is not, the first burst tells */
}

uint32_t adc_burst_sum(uint32_t channel) {
  uint32_t sum = 0, sound = 0;
  for (uint32_t made = 0; made < CONVERSIONS_MAX && sound < PROBE_CONVERSIONS_PER_BURST; made++) {
    REG(ADC_CS) = CS_EN | (channel << CS_AINSEL_LSB) | CS_START_ONCE;
    uint32_t status = status_when_ready();
    if (!(status & CS_READY)) {
      return ADC_FAILED_SUM;
    }
    if (!(status & CS_ERR)) {
      sum += REG(ADC_RESULT) & RESULT_MASK;
      sound++;
    }
  }
  return sound == PROBE_CONVERSIONS_PER_BURST ? sum : ADC_FAILED_SUM;
}
