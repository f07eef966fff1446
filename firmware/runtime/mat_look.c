#include "mat_look.h"
#include "adc.h"
#include "board_map.h"
#include "loads_sense.h"
#include "processor.h"

#define AGAIN_STEPS (MAT_LOOK_AGAIN_MS / SAFETY_STEP_MS)
#define EVERY_STEPS (MAT_LOOK_EVERY_MS / SAFETY_STEP_MS)
/* After a step that came so late (a slow erase) the second switch may be half open, until it has had its edges again. */
#define LATE_MS (2u * SAFETY_STEP_MS)
#define PUNCTUAL_STEPS 2u

struct look {
  uint32_t open_sum, closed_sum;
};

static enum state {
  OFF,
  FEEDING, /* the second switch closes, the mat's own waits for it */
  HEATING,
} state;
/* Steps since the state began, or since the last look in it. */
static uint32_t steps;
/* Looks come in twos: JavaScript has a tick between them, and believes what it sees twice. */
static bool second_due;
static uint32_t punctual;
static uint64_t stepped_ms;
/* Readings that wait for the other one of their look; of closed ones the newest. */
static struct look half;
static struct look newest, taken;
/* When `newest` was made, of `MAT_LOOKED`: `not` (0) once it was taken. */
static uint32_t looked;

static bool enter(enum state next) {
  state = next;
  steps = 0;
  return next == HEATING;
}

static void publish(uint32_t when) {
  newest = half;
  looked = when;
  half.open_sum = LOADS_NOTHING;
}

static void saw_open(uint32_t sum, uint32_t when) {
  half.open_sum = sum;
  if (sum != LOADS_NOTHING && half.closed_sum != LOADS_NOTHING) {
    publish(when);
  }
}

static void saw_closed(uint32_t sum) {
  half.closed_sum = sum;
  if (sum == LOADS_NOTHING) {
    half.open_sum = LOADS_NOTHING; /* what comes back may be another supply */
  } else if (half.open_sum != LOADS_NOTHING) {
    publish(MAT_LOOKED_AS_ASKED);
  }
}

static void note_step(uint64_t now_ms) {
  punctual = now_ms - stepped_ms > LATE_MS ? 0 : punctual + 1;
  stepped_ms = now_ms;
}

static uint32_t sound(uint32_t sum) {
  return sum == ADC_FAILED_SUM || sum <= LOADS_LIVE_SUM ? LOADS_NOTHING : sum;
}

static uint32_t reading_of(uint32_t sum) {
  return punctual < PUNCTUAL_STEPS ? LOADS_NOTHING : sound(sum);
}

bool mat_look_step(bool leased, uint32_t sum, uint64_t now_ms) {
  note_step(now_ms);
  uint32_t reading = reading_of(sum);
  steps++;
  if (!leased) {
    if (state != OFF) {
      return enter(OFF); /* the switch opened since the last step, just now perhaps */
    }
    if (steps == 1 && half.closed_sum != LOADS_NOTHING) {
      saw_open(reading, MAT_LOOKED_AS_LET_GO); /* the second switch is closed for a while yet */
    }
    return false;
  }
  switch (state) {
  case OFF:
    half = (struct look){LOADS_NOTHING, LOADS_NOTHING};
    return enter(FEEDING);
  case FEEDING:
    if (steps < MAT_LOOK_FEED_STEPS) {
      return false;
    }
    saw_open(reading, MAT_LOOKED_AS_ASKED);
    second_due = true;
    return enter(HEATING);
  case HEATING:
    if (steps >= MAT_LOOK_SETTLE_STEPS) {
      saw_closed(reading);
    }
    return true;
  }
  return false;
}

/* Not before the line was read with the switch closed, in this very step. */
bool mat_look_is_due(void) {
  return state == HEATING && steps >= (second_due ? AGAIN_STEPS : EVERY_STEPS) &&
         half.closed_sum != LOADS_NOTHING;
}

void mat_look_opened(uint32_t sum) {
  second_due = !second_due;
  steps = 0;
  saw_open(sound(sum), MAT_LOOKED_AS_ASKED);
}

uint32_t mat_look_take(void) {
  uint32_t primask = interrupts_off();
  uint32_t when = looked;
  taken = newest;
  looked = MAT_LOOKED_NOT;
  interrupts_restore(primask);
  return when;
}

double mat_look_code(bool closed) {
  uint32_t sum = closed ? taken.closed_sum : taken.open_sum;
  return (double)sum / (double)PROBE_CONVERSIONS_PER_BURST;
}
