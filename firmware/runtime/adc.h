/* The probe inputs and the sense line of the supply: bursts of 12-bit conversions. */
#pragma once
#include <stdint.h>
#include "board_map.h"

/* What a broken converter reads as: the code of an open probe, for the limiter and the firmware alike. */
#define ADC_FAILED_SUM (ADC_FULL_SCALE * PROBE_CONVERSIONS_PER_BURST)

void adc_start(void);

/*
 * Sum of PROBE_CONVERSIONS_PER_BURST conversions of a channel (below PROBE_COUNT, or LOADS_SENSE_CHANNEL), or
 * ADC_FAILED_SUM.
 * Takes about 20 us, and 200 at most.
 */
uint32_t adc_burst_sum(uint32_t channel);
