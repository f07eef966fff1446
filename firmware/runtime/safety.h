/*
 * The safety layer below JavaScript: leases on MAT and PUMP, the second switches in their supplies, the limiter on
 * both probes' raw codes, the pump's hourly allowance, and the stack guard. Runs in the timer interrupt, above everything.
 */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Before the timer starts. `used_ms`: pump time that earlier starts have left on the account. */
void safety_start(uint32_t used_ms);

/* Every SAFETY_STEP_MS, in the timer interrupt: see `timer_start`. */
void safety_step(void);

/*
 * The codes of a probe that is not the reference one, once each, until something is leased or `safety_limits_end`.
 * False: refused. Codes outside LIMITER_BOUNDS leave the mat off until the next start; any other refusal changes nothing.
 */
bool safety_limit_probe(uint32_t channel, uint32_t hot, uint32_t open, uint32_t shorted);

/* The controller is made: no script may move the limiter from here on. */
void safety_limits_end(void);

/*
 * An output on for `ms` from now, never longer than its longest lease; 0 is off now. The mat's switch closes a few steps
 * later than its lease begins, and opens for half a millisecond every few seconds: see `mat_look.h`.
 */
void safety_lease_mat(uint32_t ms);
void safety_lease_pump(uint32_t ms);

/* Whether a step has run since this was last asked: without one nothing ends a lease, and nothing may feed the watchdog. */
bool safety_has_stepped(void);

/* OUTPUT_* bits of the board map. */
uint32_t safety_outputs(void);

/* Mean code of a probe over the last second, 0..4095. */
double safety_probe_code(uint32_t channel);
