/* What the runtime asks of the processor itself: any Cortex-M (ARMv6-M manual B1.4, B1.5). */
#pragma once
#include <stdint.h>

/* Masks interrupts; hand the result to `interrupts_restore`. */
static inline uint32_t interrupts_off(void) {
  uint32_t primask;
  __asm volatile("mrs %0, primask\n cpsid i" : "=r"(primask)::"memory");
  return primask;
}

static inline void interrupts_restore(uint32_t primask) {
  __asm volatile("msr primask, %0" ::"r"(primask) : "memory");
}

/* With interrupts masked: handles all that wait, and masks them again. */
static inline void interrupts_let_in(void) { __asm volatile("cpsie i\n isb\n cpsid i" ::: "memory"); }

/* Sleeps until an interrupt waits, masked or not. */
static inline void sleep_until_interrupt(void) { __asm volatile("wfi" ::: "memory"); }

/* The compiler moves no access to memory across this. One core and no cache in front of RAM: that is all it takes. */
static inline void compiler_barrier(void) { __asm volatile("" ::: "memory"); }

/* At least `turns` times three cycles. In assembly, so that no compiler makes it shorter. */
static inline void spin(uint32_t turns) {
  __asm volatile(".syntax unified\n1: subs %0, #1\n bne 1b" : "+l"(turns)::"cc");
}
