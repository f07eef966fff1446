/* Bursts of the sense line behind the second switches: sums of PROBE_CONVERSIONS_PER_BURST conversions. */
#pragma once
#include "board_map.h"

/* Above this the line is live. */
#define LOADS_LIVE_SUM (LOADS_SENSE_LIVE_CODE * PROBE_CONVERSIONS_PER_BURST)
/* In place of a sum that tells nothing: nothing is live, the converter has failed, or another load speaks on the line. */
#define LOADS_NOTHING 0u
