/* The engine's arena, and the firmware's bytecode as the build made it. */
#pragma once
#include <stdint.h>

/* Whole arena, and what is neither chunk nor slot block yet, bytes. */
uint32_t engine_arena_bytes(void);
uint32_t engine_arena_free(void);

/* Made by the bytecode tool; both stay in flash. */
extern const uint8_t bytecode[];
extern const int bytecode_bytes;
extern const char *const bytecode_names[];
extern const int bytecode_name_count;
