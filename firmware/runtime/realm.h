/*
 * The realm - every built-in object, `board`, `native`, and all that the firmware's script made when it
 * ran: classes, functions, tables - lies ready-made in flash behind the image, where it costs no RAM
 * and no time. The build makes it: it runs the finished image in the emulated chip with that part of
 * flash writable, and keeps what `realm_freeze` left there. What the firmware writes to later is
 * copied to RAM at the first write; only arrays of bytes, maps and sets cannot be, and stay read-only.
 */
#pragma once
#include "xsAll.h"

/* The build asks for a realm. Never so on a real board. */
bool realm_wanted(void);

/* Builds the realm in flash, with the script run in it, and stops. */
void realm_freeze(void) __attribute__((noreturn));

/* A machine in RAM on top of the frozen realm; null when the image has none or there is no memory. */
txMachine *realm_clone(txCreation *creation);
