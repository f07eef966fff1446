/* Register blocks of the RP2040 that the runtime uses; names and offsets as in the data sheet. */
#pragma once
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define REG(address) (*(volatile uint32_t *)(address))
/* Every APB register has aliases that set or clear bits in one bus write (data sheet 2.1.2). */
#define REG_SET(address) REG((address) + 0x2000u)
#define REG_CLR(address) REG((address) + 0x3000u)

#define XIP_BASE 0x10000000u
#define XIP_SSI_BASE 0x18000000u
#define CLOCKS_BASE 0x40008000u
#define RESETS_BASE 0x4000c000u
#define PSM_BASE 0x40010000u
#define IO_BANK0_BASE 0x40014000u
#define IO_QSPI_BASE 0x40018000u
#define PADS_BANK0_BASE 0x4001c000u
#define UART0_BASE 0x40034000u
#define ADC_BASE 0x4004c000u
#define TIMER_BASE 0x40054000u
#define WATCHDOG_BASE 0x40058000u
#define CHIP_RESET_BASE 0x40064000u
#define USBCTRL_DPRAM_BASE 0x50100000u
#define USBCTRL_REGS_BASE 0x50110000u
#define SIO_BASE 0xd0000000u
#define NVIC_ISER 0xe000e100u
#define NVIC_ICER 0xe000e180u
#define NVIC_ISPR 0xe000e200u
#define NVIC_ICPR 0xe000e280u
#define NVIC_IPR0 0xe000e400u
#define SCB_ICSR 0xe000ed04u
#define ICSR_PENDSTSET (1u << 26)
#define ICSR_PENDSTCLR (1u << 25)

/* Interrupt numbers (data sheet 2.3.2). */
enum { TIMER_IRQ_0 = 0, TIMER_IRQ_1 = 1, USBCTRL_IRQ = 5, CLOCKS_IRQ = 17, UART0_IRQ = 20 };

#define RESETS_RESET (RESETS_BASE + 0x00)
#define RESETS_RESET_DONE (RESETS_BASE + 0x08)
/* Bits of both (data sheet 2.14). */
#define RESETS_ADC (1u << 0)
#define RESETS_IO_BANK0 (1u << 5)
#define RESETS_PADS_BANK0 (1u << 8)
#define RESETS_PLL_SYS (1u << 12)
#define RESETS_PLL_USB (1u << 13)
#define RESETS_TIMER (1u << 21)
#define RESETS_UART0 (1u << 22)
#define RESETS_USBCTRL (1u << 24)

/* Code that must run while the flash cannot be read. */
#define IN_RAM __attribute__((section(".ram_code"), noinline, long_call))

/* Takes peripherals out of reset and waits until they answer. */
static inline void unreset(uint32_t peripherals) {
  REG_CLR(RESETS_RESET) = peripherals;
  while (~REG(RESETS_RESET_DONE) & peripherals) {
  }
}

/* The same from a state nobody knows: the ROM or a debugger may have used them before. */
static inline void reset_afresh(uint32_t peripherals) {
  REG_SET(RESETS_RESET) = peripherals;
  unreset(peripherals);
}

/* Sets an interrupt's priority, 0 (most urgent) to 3, and enables it. */
static inline void interrupt_enable(uint32_t irq, uint32_t priority) {
  volatile uint32_t *ipr = &REG(NVIC_IPR0 + (irq & ~3u));
  uint32_t shift = 8 * (irq & 3u);
  *ipr = (*ipr & ~(0xffu << shift)) | (priority << (shift + 6));
  REG(NVIC_ICPR) = 1u << irq;
  REG(NVIC_ISER) = 1u << irq;
}

/* One that is enabled, or SysTick, waits for interrupts to be let in. */
static inline bool interrupt_waits(void) {
  return (REG(NVIC_ISPR) & REG(NVIC_ISER)) != 0 || (REG(SCB_ICSR) & ICSR_PENDSTSET) != 0;
}

/* SysTick, if it waits, waits no more. */
static inline void systick_drop(void) { REG(SCB_ICSR) = ICSR_PENDSTCLR; }
