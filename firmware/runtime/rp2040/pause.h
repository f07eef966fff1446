/* A short sleep for code that runs from RAM with interrupts masked. */
#pragma once
#include <stdint.h>
#include "registers.h"

/* Interrupts that come meanwhile wait on. It ends although the timer stands still: SysTick comes every 100 ms, and cuts it short then. */
IN_RAM void pause_us(uint32_t us);
