/* RP2040 data sheet 4.9: one conversion at a time, 2 us each at 48 MHz. */
#include "adc.h"
#include "board_map.h"
#include "pins.h"
#include "rp2040.h"

#define ADC_CS (ADC_BASE + 0x00)
#define ADC_RESULT (ADC_BASE + 0x04)
#define CS_EN (1u << 0)
#define CS_START_ONCE (1u << 2)
#define CS_READY (1u << 8)
#define CS_AINSEL_LSB 12
#define RESULT_MASK 0xfffu

static void wait_ready(void) {
  while (!(REG(ADC_CS) & CS_READY)) {
  }
}

void adc_start(void) {
  reset_afresh(RESETS_ADC);
  pin_analog(PIN_PROBE);
  pin_analog(PIN_MAT_PROBE);
  REG(ADC_CS) = CS_EN;
  wait_ready();
}

uint32_t adc_sum(uint32_t channel) {
  uint32_t sum = 0;
  for (uint32_t i = 0; i < ADC_SAMPLES; i++) {
    REG(ADC_CS) = CS_EN | (channel << CS_AINSEL_LSB) | CS_START_ONCE;
    wait_ready();
    sum += REG(ADC_RESULT) & RESULT_MASK;
  }
  return sum;
}
