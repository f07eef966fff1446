/* The engine's arena, and the firmware's bytecode as the build made it. */
#pragma once
#include <stdint.h>

/* The same for the frozen realm and for the machine on top of it, which goes on with its tables of names. */
#define ENGINE_COMMON_CREATION .nameModulo = 127, .symbolModulo = 13

/* Moves the engine to other memory: the build's frozen realm lies in flash. */
void engine_memory_use(uint8_t *start, uint8_t *end, uint32_t libc_bytes);

/* Made by the bytecode tool; both stay in flash. */
extern const uint8_t bytecode[];
extern const int bytecode_bytes;
extern const char *const bytecode_names[];
extern const int bytecode_name_count;
