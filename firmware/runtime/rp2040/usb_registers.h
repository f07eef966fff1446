/* The USB controller's registers and dual-port RAM (RP2040 data sheet 4.1.2 and 4.1.4). */
#pragma once
#include "registers.h"

#define ADDR_ENDP (USBCTRL_REGS_BASE + 0x00)
#define MAIN_CTRL (USBCTRL_REGS_BASE + 0x40)
#define SOF_RD (USBCTRL_REGS_BASE + 0x48)
#define SIE_CTRL (USBCTRL_REGS_BASE + 0x4c)
#define SIE_STATUS (USBCTRL_REGS_BASE + 0x50)
#define BUFF_STATUS (USBCTRL_REGS_BASE + 0x58)
#define EP_STALL_ARM (USBCTRL_REGS_BASE + 0x68)
#define USB_MUXING (USBCTRL_REGS_BASE + 0x74)
#define USB_PWR (USBCTRL_REGS_BASE + 0x78)
#define INTE (USBCTRL_REGS_BASE + 0x90)
#define INTS (USBCTRL_REGS_BASE + 0x98)
#define MAIN_CTRL_CONTROLLER_EN (1u << 0)
#define SOF_RD_COUNT_MASK 0x7ffu
#define SIE_CTRL_EP0_INT_1BUF (1u << 29)
#define SIE_CTRL_PULLUP_EN (1u << 16)
#define SIE_STATUS_BUS_RESET (1u << 19)
#define SIE_STATUS_SETUP_REC (1u << 17)
#define SIE_STATUS_RESUME (1u << 11)
#define SIE_STATUS_SUSPENDED (1u << 4)
#define USB_MUXING_TO_PHY_SOFTCON ((1u << 0) | (1u << 3))
#define USB_PWR_VBUS_DETECT_FORCED ((1u << 3) | (1u << 2))
#define INT_SETUP_REQ (1u << 16)
#define INT_DEV_RESUME (1u << 15)
#define INT_DEV_SUSPEND (1u << 14)
#define INT_BUS_RESET (1u << 12)
#define INT_BUFF_STATUS (1u << 4)
/* Two bits of BUFF_STATUS and EP_STALL_ARM per endpoint. */
#define BIT_IN(endpoint) (1u << (2 * (endpoint)))
#define BIT_OUT(endpoint) (2u << (2 * (endpoint)))

/* Layout of the dual-port RAM (data sheet 4.1.2.5). */
#define SETUP_PACKET ((const volatile uint8_t *)USBCTRL_DPRAM_BASE)
#define EP_CTRL_IN(endpoint) REG(USBCTRL_DPRAM_BASE + 8u * (endpoint))
#define EP_CTRL_OUT(endpoint) REG(USBCTRL_DPRAM_BASE + 8u * (endpoint) + 4u)
#define BUFFER_IN(endpoint) (&REG(USBCTRL_DPRAM_BASE + 0x80u + 8u * (endpoint)))
#define BUFFER_OUT(endpoint) (&REG(USBCTRL_DPRAM_BASE + 0x84u + 8u * (endpoint)))
#define EP_CTRL_ENABLE (1u << 31)
#define EP_CTRL_INTERRUPT_PER_BUFFER (1u << 29)
#define EP_CTRL_TYPE(type) ((type) << 26)
#define BUFFER_FULL (1u << 15)
#define BUFFER_DATA1 (1u << 13)
#define BUFFER_STALL (1u << 11)
#define BUFFER_AVAILABLE (1u << 10)
#define BUFFER_LENGTH_MASK 0x3ffu
#define OFFSET_CONTROL 0x100u
#define OFFSET_NOTIFY_IN 0x180u
#define OFFSET_DATA_OUT 0x1c0u
#define OFFSET_DATA_IN 0x200u

/* AVAILABLE goes in a second write, after 12 processor cycles (data sheet 4.1.2.5.1). */
static inline void usb_arm(volatile uint32_t *buffer, uint32_t value) {
  *buffer = value & ~BUFFER_AVAILABLE;
  __asm volatile("nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop\n nop");
  *buffer = value | BUFFER_AVAILABLE;
}

static inline volatile uint8_t *usb_dual_port(uint32_t offset) {
  return (volatile uint8_t *)(USBCTRL_DPRAM_BASE + offset);
}
