/* Vector table (RP2040 data sheet 2.3.2, ARMv6-M manual B1.5.3), reset handler and fault handlers. */
#include "pads.h"
#include "pins.h"
#include "restart.h"
#include "registers.h"
#include "stack.h"

extern uint32_t data_load[], data_start[], data_end[], bss_start[], bss_end[];
int main(void);
void timer_irq(void);
void systick_irq(void);
void clocks_irq(void);
void usb_irq(void);
void uart_irq(void);

/* More than the reset handler keeps on the stack. */
#define OWN_FRAME_WORDS 16

void reset_handler(void) {
  pins_make_safe();
  const uint32_t *from = data_load;
  for (uint32_t *to = data_start; to < data_end; to++) {
    *to = *from++;
  }
  for (uint32_t *to = bss_start; to < bss_end; to++) {
    *to = 0;
  }
  /* Not into this function's own frame. */
  uint32_t *here = __builtin_frame_address(0);
  for (uint32_t *to = stack_bottom; to < here - OWN_FRAME_WORDS; to++) {
    *to = STACK_PAINT;
  }
  main();
}

/* What the processor stacks (ARMv6-M manual B1.5.6): r0-r3, r12, lr, the faulting address, xPSR. */
#define FRAME_WORDS 8
#define FRAME_PC 6

__attribute__((used)) static void record_fault(const uint32_t *frame) {
  bool readable = frame >= stack_bottom && frame + FRAME_WORDS <= stack_top;
  restart_because(RESET_FAULT, readable ? frame[FRAME_PC] : FAULT_STACK_OVERFLOW);
}

/* Outputs first, with nothing but registers: the stack may be the thing that broke. */
__attribute__((naked)) static void hard_fault(void) {
  __asm volatile(
      "ldr r1, =%c0\n"
      "ldr r2, =%c1\n"
      "str r2, [r1]\n"
      "mrs r0, msp\n"
      "ldr r1, =stack_top\n"
      "mov sp, r1\n" /* a fresh stack for what follows */
      "b record_fault\n"
      ".ltorg\n" ::"i"(SIO_GPIO_OUT_CLR), "i"(LOADS));
}

/* For everything that no handler is meant for; tells which by the exception's number (16: IRQ 0). */
static void unexpected(void) {
  uint32_t ipsr;
  __asm volatile("mrs %0, ipsr" : "=r"(ipsr));
  restart_because(RESET_FAULT, FAULT_UNEXPECTED_INTERRUPT + ipsr * FAULT_SOURCE_STEP);
}

#define SYSTICK 15
#define FIRST_IRQ 16
/* Nothing is connected to the last six, but a stray store to NVIC_ISPR makes them wait like the others. */
#define IRQS 32
typedef void (*handler)(void);

__attribute__((section(".vectors"), used)) static const handler vectors[FIRST_IRQ + IRQS] = {
    [0] = (handler)stack_top,
    [1] = reset_handler,
    [2] = unexpected,
    [3] = hard_fault,
    [4 ... SYSTICK - 1] = unexpected,
    [SYSTICK] = systick_irq,
    [FIRST_IRQ + TIMER_IRQ_0] = timer_irq,
    [FIRST_IRQ + TIMER_IRQ_0 + 1 ... FIRST_IRQ + USBCTRL_IRQ - 1] = unexpected,
    [FIRST_IRQ + USBCTRL_IRQ] = usb_irq,
    [FIRST_IRQ + USBCTRL_IRQ + 1 ... FIRST_IRQ + CLOCKS_IRQ - 1] = unexpected,
    [FIRST_IRQ + CLOCKS_IRQ] = clocks_irq,
    [FIRST_IRQ + CLOCKS_IRQ + 1 ... FIRST_IRQ + UART0_IRQ - 1] = unexpected,
    [FIRST_IRQ + UART0_IRQ] = uart_irq,
    [FIRST_IRQ + UART0_IRQ + 1 ... FIRST_IRQ + IRQS - 1] = unexpected,
};
