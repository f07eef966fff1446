/*
 * Why the board starts again. The cause survives a restart in memory that only power-on clears: what that is, the chip
 * knows (`rp2040/restart.c`).
 */
#pragma once
#include <stdint.h>
#include "board_map.h"

/* First thing after start-up: works out the cause of this start and arms the registers again. */
void restart_read(void);

/* `RESET_*`, and the number recorded with it: `FAULT_*` where a RESET_FAULT is none of the processor's; `REQUEST_*`. */
uint32_t restart_cause(void);
uint32_t restart_detail(void);

/* Starts by fault in a row, without a minute of healthy ticks between them. */
uint32_t restart_faults_in_row(void);
void restart_forget_faults(void);

/* Pump time of this hour, kept over restarts so that a crash loop cannot overdose. */
uint32_t restart_kept_pump_ms(void);
void restart_keep_pump_ms(uint32_t ms);

/*
 * Outputs off, then the loader of the chip's own ROM, which shows itself as a USB drive until it has an image. Nothing
 * ends that but an image and the supply. The start after it is a RESET_REQUEST by REQUEST_BOOT_DRIVE. Does not return.
 */
void restart_into_boot_drive(void) __attribute__((noreturn));

/* Outputs off, cause recorded, chip restarted. Does not return. Safe in any context. */
void restart_because(uint32_t cause, uint32_t detail) __attribute__((noreturn));
