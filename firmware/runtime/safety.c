#include "safety.h"
#include "adc.h"
#include "board_map.h"
#include "bridge.h"
#include "clock_watch.h"
#include "loads_sense.h"
#include "mat_look.h"
#include "pins.h"
#include "processor.h"
#include "restart.h"
#include "script_time.h"
#include "stack.h"
#include "timer.h"
#include "uart.h"

/* JavaScript gets their mean; the limiter judges each burst by itself. */
#define WINDOW PROBE_BURSTS_PER_READING
#define HOUR_MS 3600000u
/*
 * A turn takes some 40 cycles of 125 MHz, so that this is 1.6 ms, three times the wait: only a timer that stands still is
 * not over by then.
 */
#define OPEN_TURNS_MAX 5000u

struct lease {
  uint32_t pin;
  /* Of the second switch in its supply, and its level. */
  uint32_t second_pin;
  bool second_high;
  uint32_t longest_ms;
  uint64_t until_ms;
  bool on;
};

static struct lease mat = {
    .pin = PIN_MAT, .second_pin = PIN_FEED, .longest_ms = MAT_LEASE_MAX_MS};
static struct lease pump = {
    .pin = PIN_PUMP, .second_pin = PIN_ARM, .longest_ms = PUMP_LEASE_MAX_MS};
static const uint32_t reference_hot_codes[PROBE_COUNT] = PROBE_HOT_CODES;
/* The bit of a probe that the limiter looks at; 0: no heat depends on it. */
static const uint32_t limiter_outputs[PROBE_COUNT] = PROBE_LIMITER_OUTPUTS;
/* Codes that the limiter goes by; those of the reference probe until JavaScript has told others, once. */
struct limits {
  uint32_t hot;
  uint32_t open;
  uint32_t shorted;
  bool told;
};
static struct limits limits[PROBE_COUNT];
/* JavaScript may still tell: nothing has been leased, and the controller is being made. */
static bool limits_open;
/* Bits of the probes that were told codes no probe has: no heat until the next start. */
static uint32_t limits_unfit;
/* The limiter lets go MAT_LEASE_MAX_MS after the last bad reading, so a borderline probe cannot chatter. */
static uint64_t held_until_ms[PROBE_COUNT];
static uint32_t sums[PROBE_COUNT][WINDOW];
static uint32_t steps;
static uint32_t pump_hour;
static uint32_t pump_used_ms;
static uint64_t pump_counted_ms;
static bool loads_live;
/* Until then the second switch of the pump may be closed; and that of either: before a restart they may have been. */
static uint64_t pump_fed_until_ms;
static uint64_t fed_until_ms = SECOND_SWITCH_OPENS_MS;
/* The line was live when last both should have been open: one of them is welded, and nobody can tell which. */
static bool fed_unasked;
/* Steps done when the watchdog last asked. */
static uint32_t steps_seen;

/* Bits of the probes because of which the limiter holds the mat open. */
static uint32_t mat_held(uint64_t now_ms) {
  uint32_t outputs = limits_unfit;
  for (uint32_t channel = 0; channel < PROBE_COUNT; channel++) {
    if (now_ms < held_until_ms[channel]) {
      outputs |= limiter_outputs[channel];
    }
  }
  return outputs;
}

static bool pump_spent(void) { return pump_used_ms >= LIMITER_PUMP_MAX_MS_PER_HOUR; }

static void switch_off(struct lease *lease) {
  pin_set(lease->pin, false);
  lease->on = false;
  lease->until_ms = 0;
}

static void grant(struct lease *lease, uint32_t ms, uint64_t now_ms) {
  if (ms == 0) {
    switch_off(lease);
    return;
  }
  lease->until_ms = now_ms + (ms < lease->longest_ms ? ms : lease->longest_ms);
  lease->on = true;
}

/* Books pump time since the last call; a new clock hour starts a new account. */
static void count_pump(uint64_t now_ms) {
  uint32_t hour = (uint32_t)(now_ms / HOUR_MS);
  if (hour != pump_hour) {
    pump_hour = hour;
    pump_used_ms = 0;
  }
  if (pump.on) {
    pump_used_ms += (uint32_t)(now_ms - pump_counted_ms);
  }
  pump_counted_ms = now_ms;
}

static void read_probes(uint64_t now_ms) {
  for (uint32_t channel = 0; channel < PROBE_COUNT; channel++) {
    uint32_t sum = adc_burst_sum(channel);
    sums[channel][steps % WINDOW] = sum;
    bool open = sum > limits[channel].open * PROBE_CONVERSIONS_PER_BURST;
    bool shorted = sum < limits[channel].shorted * PROBE_CONVERSIONS_PER_BURST;
    bool hot = sum < limits[channel].hot * PROBE_CONVERSIONS_PER_BURST;
    if (open || shorted || hot) {
      held_until_ms[channel] = now_ms + MAT_LEASE_MAX_MS;
    }
  }
  steps++;
}

/*
 * A second switch stays closed only while its pin keeps toggling: one level for one step, the other for the
 * next, as long as its output is leased. Here and nowhere else, so that a dead step opens it.
 */
static void hold_second(struct lease *lease) {
  lease->second_high = lease->on && !lease->second_high;
  pin_set(lease->second_pin, lease->second_high);
}

/* What the sense line reads with the mat's own switch open for a moment. With the timer stopped it stays open. */
static uint32_t burst_with_mat_open(void) {
  pin_set(PIN_MAT, false);
  uint64_t opened_us = timer_us();
  for (uint32_t turn = 0; timer_us() - opened_us < MAT_LOOK_OPEN_US; turn++) {
    if (turn == OPEN_TURNS_MAX) {
      clock_watch_give_up();
    }
  }
  uint32_t sum = adc_burst_sum(LOADS_SENSE_CHANNEL);
  pin_set(PIN_MAT, true);
  return sum;
}

/* What is fed through the second switches: asked for, until they have opened again, and by one that is welded. */
static void note_fed(uint32_t sum, uint64_t now_ms) {
  if (pump.on) {
    pump_fed_until_ms = now_ms + SECOND_SWITCH_OPENS_MS;
  }
  if (pump.on || mat.on) {
    fed_until_ms = now_ms + SECOND_SWITCH_OPENS_MS;
  } else if (now_ms >= fed_until_ms && sum != ADC_FAILED_SUM) {
    fed_unasked = loads_live;
  }
}

/* With the pump fed as well, asked for or not, the line tells nothing of the mat. */
static bool tells_of_mat(uint64_t now_ms) {
  return now_ms >= pump_fed_until_ms && !fed_unasked;
}

/*
 * What is behind the second switches, and what the mat's own switch does until the next step. A converter that fails is
 * told by the probes.
 */
static void look_at_loads(uint64_t now_ms) {
  uint32_t sum = adc_burst_sum(LOADS_SENSE_CHANNEL);
  if (sum != ADC_FAILED_SUM) {
    loads_live = sum > LOADS_LIVE_SUM;
  }
  note_fed(sum, now_ms);
  pin_set(PIN_MAT, mat_look_step(mat.on, tells_of_mat(now_ms) ? sum : LOADS_NOTHING, now_ms));
  if (mat_look_is_due()) {
    mat_look_opened(burst_with_mat_open());
  }
}

void safety_start(uint32_t used_ms) {
  pump_used_ms = used_ms;
  for (uint32_t channel = 0; channel < PROBE_COUNT; channel++) {
    limits[channel] = (struct limits){
        .hot = reference_hot_codes[channel],
        .open = LIMITER_OPEN_CODE,
        .shorted = LIMITER_SHORT_CODE,
    };
  }
  limits_open = true;
  adc_start();
  /* Every probe is judged before anything can ask for heat. */
  read_probes(0);
}

/* Wider than any probe that is taken, so that a script gone wrong cannot leave the limiter without a limit. */
static bool are_limiter_codes(uint32_t hot, uint32_t open, uint32_t shorted) {
  return shorted >= LIMITER_BOUNDS_SHORT_MIN && hot >= LIMITER_BOUNDS_HOT_MIN &&
         hot <= LIMITER_BOUNDS_HOT_MAX && open <= LIMITER_BOUNDS_OPEN_MAX && shorted < hot &&
         hot < open;
}

bool safety_limit_probe(uint32_t channel, uint32_t hot, uint32_t open, uint32_t shorted) {
  if (!limits_open || channel >= PROBE_COUNT || limits[channel].told) {
    return false;
  }
  bool taken = are_limiter_codes(hot, open, shorted);
  uint32_t primask = interrupts_off();
  if (taken) {
    limits[channel] = (struct limits){.hot = hot, .open = open, .shorted = shorted, .told = true};
  } else {
    limits[channel].told = true;
    limits_unfit |= limiter_outputs[channel];
  }
  interrupts_restore(primask);
  return taken;
}

void safety_limits_end(void) { limits_open = false; }

void safety_step(void) {
  uint64_t now_ms = timer_ms();
  read_probes(now_ms);
  bool looked_after = script_time_holds_outputs();
  if (mat.on && (!looked_after || mat_held(now_ms) || now_ms >= mat.until_ms)) {
    switch_off(&mat);
  }
  count_pump(now_ms);
  if (pump.on && (!looked_after || pump_spent() || now_ms >= pump.until_ms)) {
    switch_off(&pump);
  }
  hold_second(&mat);
  hold_second(&pump);
  look_at_loads(now_ms);
  restart_keep_pump_ms(pump_used_ms);
  clock_watch_step();
  if (!stack_intact()) {
    restart_because(RESET_FAULT, FAULT_STACK_OVERFLOW);
  }
  bridge_poll();
  uart_poll();
}

void safety_lease_mat(uint32_t ms) {
  limits_open = limits_open && ms == 0;
  uint32_t primask = interrupts_off();
  uint64_t now_ms = timer_ms();
  /* Its pin follows in the steps. */
  grant(&mat, mat_held(now_ms) || !script_time_holds_outputs() ? 0 : ms, now_ms);
  interrupts_restore(primask);
}

void safety_lease_pump(uint32_t ms) {
  limits_open = limits_open && ms == 0;
  uint32_t primask = interrupts_off();
  uint64_t now_ms = timer_ms();
  count_pump(now_ms);
  grant(&pump, pump_spent() || !script_time_holds_outputs() ? 0 : ms, now_ms);
  pin_set(PIN_PUMP, pump.on);
  interrupts_restore(primask);
}

uint32_t safety_outputs(void) {
  uint32_t primask = interrupts_off();
  uint64_t now_ms = timer_ms();
  uint32_t outputs = (mat.on ? OUTPUT_MAT_ON : 0) | (pump.on ? OUTPUT_PUMP_ON : 0) |
                     (pump_spent() ? OUTPUT_PUMP_HOUR_SPENT : 0) |
                     (loads_live ? OUTPUT_LOADS_LIVE : 0) | mat_held(now_ms);
  interrupts_restore(primask);
  return outputs;
}

bool safety_has_stepped(void) {
  bool stepped = steps != steps_seen;
  steps_seen = steps;
  return stepped;
}

double safety_probe_code(uint32_t channel) {
  uint32_t count = steps < WINDOW ? steps : WINDOW;
  uint32_t sum = 0;
  for (uint32_t i = 0; i < count; i++) {
    sum += sums[channel][i];
  }
  return (double)sum / (double)(count * PROBE_CONVERSIONS_PER_BURST);
}
