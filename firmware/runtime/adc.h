/* The probe inputs: means of many 12-bit conversions. */
#pragma once
#include <stdint.h>

/* Conversions averaged in one reading. */
#define ADC_SAMPLES 8u

void adc_start(void);

/* Sum of ADC_SAMPLES conversions of a channel (`PROBE_CHANNEL_*`). Takes about 20 us. */
uint32_t adc_sum(uint32_t channel);
