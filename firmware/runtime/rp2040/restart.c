#include "restart.h"
#include "pins.h"
#include "processor.h"
#include "registers.h"
#include "rom.h"
#include "watchdog.h"

#define WATCHDOG_REASON (WATCHDOG_BASE + 0x08)
#define WATCHDOG_SCRATCH(n) (WATCHDOG_BASE + 0x0cu + 4u * (n))
#define REASON_TIMER (1u << 0)
#define REASON_FORCE (1u << 1)
#define CHIP_RESET (CHIP_RESET_BASE + 0x08)
#define HAD_POR (1u << 8)

/* The watchdog's scratch registers (data sheet 4.7.6), which only power-on clears; 4 to 7 belong to the ROM. */
#define SCRATCH_CAUSE WATCHDOG_SCRATCH(0)
#define SCRATCH_DETAIL WATCHDOG_SCRATCH(1)
#define SCRATCH_FAULTS WATCHDOG_SCRATCH(2)
#define SCRATCH_PUMP_MS WATCHDOG_SCRATCH(3)
/* Marks a register as ours in its upper half: power-on leaves zeros. */
#define MARK 0x54570000u
#define MARK_MASK 0xffff0000u
/*
 * The same in SCRATCH_FAULTS, of a board that went into the boot drive: the ROM keeps its arguments in 0 and 1, and
 * leaves 2 and 3 alone, also when it starts the image that it was given.
 */
#define BOOT_DRIVE_MARK 0x54580000u
/* `reset_to_usb_boot` (data sheet 2.8.3.1.5): the pin that tells of traffic; mass storage and PICOBOOT, as with the button. */
#define ACTIVITY_PINS (1u << PIN_LAMP)
#define NO_INTERFACE_LEFT_OUT 0u
typedef void (*rom_usb_boot)(uint32_t activity_pins, uint32_t left_out_interfaces);

/* RAM outlives a short dip of the supply; both power-on and brown-out set HAD_POR. */
#define RAM_MARK 0x42524f57u
static uint32_t ram_mark __attribute__((section(".no_init")));

static uint32_t cause;
static uint32_t detail;
static uint32_t faults_in_row;
static uint32_t kept_pump_ms;

static uint32_t marked(uint32_t address, uint32_t otherwise) {
  uint32_t value = REG(address);
  return (value & MARK_MASK) == MARK ? value & ~MARK_MASK : otherwise;
}

void restart_read(void) {
  uint32_t reason = REG(WATCHDOG_REASON);
  bool ours = (REG(SCRATCH_CAUSE) & MARK_MASK) == MARK;
  bool from_boot_drive = (REG(SCRATCH_FAULTS) & MARK_MASK) == BOOT_DRIVE_MARK;
  if (ours && (reason & REASON_FORCE)) {
    cause = REG(SCRATCH_CAUSE) & ~MARK_MASK;
    detail = REG(SCRATCH_DETAIL);
  } else if (ours && (reason & REASON_TIMER)) {
    cause = RESET_WATCHDOG;
  } else if (from_boot_drive) {
    cause = RESET_REQUEST;
    detail = REQUEST_BOOT_DRIVE;
  } else if (ram_mark == RAM_MARK && (REG(CHIP_RESET) & HAD_POR)) {
    cause = RESET_BROWN_OUT;
  } else {
    cause = RESET_POWER_ON;
  }
  ram_mark = RAM_MARK;
  bool fault = cause >= RESET_WATCHDOG;
  faults_in_row = fault ? marked(SCRATCH_FAULTS, 0) + 1 : 0;
  kept_pump_ms = ours || from_boot_drive ? REG(SCRATCH_PUMP_MS) : 0;
  REG(SCRATCH_FAULTS) = MARK | (faults_in_row & ~MARK_MASK);
  REG(SCRATCH_CAUSE) = MARK | RESET_WATCHDOG;
  REG(SCRATCH_DETAIL) = 0;
}

uint32_t restart_cause(void) { return cause; }

uint32_t restart_detail(void) { return detail; }

uint32_t restart_faults_in_row(void) { return faults_in_row; }

void restart_forget_faults(void) { REG(SCRATCH_FAULTS) = MARK; }

uint32_t restart_kept_pump_ms(void) { return kept_pump_ms; }

void restart_keep_pump_ms(uint32_t ms) { REG(SCRATCH_PUMP_MS) = ms; }

void restart_into_boot_drive(void) {
  interrupts_off();
  pins_outputs_off();
  ram_mark = 0; /* to an image that does not know BOOT_DRIVE_MARK this start is no dip of the supply */
  REG(SCRATCH_FAULTS) = BOOT_DRIVE_MARK;
  rom_usb_boot reset_to_usb_boot = (rom_usb_boot)rom_function('U', 'B');
  reset_to_usb_boot(ACTIVITY_PINS, NO_INTERFACE_LEFT_OUT);
  for (;;) {
  }
}

void restart_because(uint32_t why, uint32_t number) {
  interrupts_off();
  pins_outputs_off();
  REG(SCRATCH_CAUSE) = MARK | why;
  REG(SCRATCH_DETAIL) = number;
  watchdog_restart();
}
