/* What the XS engine is told about this machine: bare metal, no files, no threads, no clock of day. */
#pragma once
#include <ctype.h>
#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#ifndef mxUnalignedAccess
#define mxUnalignedAccess 0 /* this core faults on unaligned loads */
#endif
#define mxMisalignedSettersCrash 1
#define mxUseDefaultCStackLimit 0
#define mxUseDefaultSharedChunks 1
#define mxMultipleThreads 1 /* leaves out the set-up of a shared cluster */
#define C_PATH_MAX 64
#define mxMachinePlatform \
  void *host;             \
  void *waiterCondition;  \
  void *waiterData;       \
  void *waiterLink;
