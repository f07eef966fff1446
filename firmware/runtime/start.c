/* Vector table, reset handler and fault handlers. */
#include "pins.h"
#include "restart.h"
#include "rp2040.h"
#include "stack.h"

extern uint32_t data_load[], data_start[], data_end[], bss_start[], bss_end[];
int main(void);
void timer_irq(void);
void usb_irq(void);
void uart_irq(void);

void reset_handler(void) {
  pins_make_safe();
  const uint32_t *from = data_load;
  for (uint32_t *to = data_start; to < data_end; to++) {
    *to = *from++;
  }
  for (uint32_t *to = bss_start; to < bss_end; to++) {
    *to = 0;
  }
  /* Up to this function's own frame. */
  uint32_t *here = __builtin_frame_address(0);
  for (uint32_t *to = stack_bottom; to < here - 16; to++) {
    *to = STACK_PAINT;
  }
  main();
}

/* `frame`: what the processor stacked (ARMv6-M manual B1.5.6); word 6 is the faulting address. */
__attribute__((used)) static void record_fault(const uint32_t *frame) {
  bool readable = frame >= stack_bottom && frame + 8 <= stack_top;
  restart_because(RESET_FAULT, readable ? frame[6] : FAULT_STACK_OVERFLOW);
}

/* Outputs first, with nothing but registers: the stack may be the thing that broke. */
__attribute__((naked)) static void hard_fault(void) {
  __asm volatile(
      "ldr r1, =0xd0000018\n" /* SIO GPIO_OUT_CLR */
      "ldr r2, =%c0\n"
      "str r2, [r1]\n"
      "mrs r0, msp\n"
      "ldr r1, =stack_top\n"
      "mov sp, r1\n" /* a fresh stack for what follows */
      "b record_fault\n"
      ".ltorg\n" ::"i"((1 << PIN_MAT) | (1 << PIN_PUMP) | (1 << PIN_SOUNDER)));
}

static void unexpected(void) {
  uint32_t ipsr;
  __asm volatile("mrs %0, ipsr" : "=r"(ipsr));
  restart_because(RESET_FAULT, FAULT_UNEXPECTED_INTERRUPT | ipsr << 8);
}

#define FIRST_IRQ 16
#define IRQS 26
typedef void (*handler)(void);

__attribute__((section(".vectors"), used)) static const handler vectors[FIRST_IRQ + IRQS] = {
    [0] = (handler)stack_top,
    [1] = reset_handler,
    [2] = unexpected,
    [3] = hard_fault,
    [4 ... FIRST_IRQ - 1] = unexpected,
    [FIRST_IRQ + TIMER_IRQ_0] = timer_irq,
    [FIRST_IRQ + TIMER_IRQ_0 + 1 ... FIRST_IRQ + USBCTRL_IRQ - 1] = unexpected,
    [FIRST_IRQ + USBCTRL_IRQ] = usb_irq,
    [FIRST_IRQ + USBCTRL_IRQ + 1 ... FIRST_IRQ + UART0_IRQ - 1] = unexpected,
    [FIRST_IRQ + UART0_IRQ] = uart_irq,
    [FIRST_IRQ + UART0_IRQ + 1 ... FIRST_IRQ + IRQS - 1] = unexpected,
};
